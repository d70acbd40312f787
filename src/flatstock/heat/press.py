"""Hot press, cooling press and a mould that moves between them, as physics: no plastic, no shop known.

Sequences only; every run is `pile.run`. Powers, films and capacities per m2 as in docs/heat.md.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from flatstock.heat.layers import Controller, Joint, Layer, Outside
from flatstock.heat.pile import TOLERANCE, Outcome, Pile, Until, run

__all__ = ["ColdPress", "HotPress", "Mould", "carry_through_air"]


@dataclass(frozen=True, slots=True, eq=False)
class Mould:
    """Skin, plastic, skin; the frame's capacity is on the skins, half each."""

    lower: Layer
    plastic: Layer
    upper: Layer

    @property
    def layers(self) -> tuple[Layer, Layer, Layer]:
        """From bottom to top."""
        return self.lower, self.plastic, self.upper


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class HotPress:
    """Two platens with what heats them and holds them; joints are platen-skin, skin-charge, skin-platen."""

    lower: Layer
    upper: Layer
    heaters: tuple[Controller | None, Controller | None]
    backs: tuple[Outside, Outside]
    platen_skin: tuple[Joint, Joint]
    skin_charge: Joint
    room: float
    edge_film: float
    rim_film: float
    perimeter_per_area: float
    close_after: float

    def around(self, mould: Mould) -> Pile:
        """The column with a mould between the platens."""
        low, high = self.platen_skin
        return Pile(
            layers=(self.lower, *mould.layers, self.upper),
            joints=(low, self.skin_charge, self.skin_charge, high),
            bottom=self.backs[0],
            top=self.backs[1],
            room=self.room,
            edge_film=self.edge_film,
            perimeter_per_area=self.perimeter_per_area,
            rim_film=self.rim_film,
            heaters=self.heaters,
        )

    def hold(
        self,
        mould: Mould,
        *,
        duration: float,
        until: Until | None = None,
        activation: float = 0.0,
        dose: float = 0.0,
        loaded: bool = True,
        tolerance: float = TOLERANCE,
        profiles: bool = False,
    ) -> tuple[HotPress, Mould, Outcome]:
        """Keep a mould in the press; `loaded`: it has just been laid down and the press closes later."""
        outcome = run(
            self.around(mould),
            duration=duration,
            until=until,
            close_after=self.close_after if loaded else 0.0,
            activation=activation,
            dose=dose,
            tolerance=tolerance,
            profiles=profiles,
        )
        lower, a, b, c, upper = outcome.pile.layers
        after = replace(self, lower=lower, upper=upper, heaters=outcome.pile.heaters)
        return after, Mould(a, b, c), outcome

    def stand_empty(
        self, duration: float, *, tolerance: float = TOLERANCE
    ) -> tuple[HotPress, Outcome, Outcome]:
        """Platens with nothing between them: their front faces see each other, so only back and edge lose."""
        inside = Outside()
        common = {
            "room": self.room,
            "edge_film": self.edge_film,
            "perimeter_per_area": self.perimeter_per_area,
        }
        below = run(
            Pile((self.lower,), (), self.backs[0], inside, heaters=(self.heaters[0], None), **common,
                 rim_film=self.rim_film),
            duration=duration,
            tolerance=tolerance,
        )  # fmt: skip
        above = run(
            Pile((self.upper,), (), inside, self.backs[1], heaters=(None, self.heaters[1]), **common,
                 rim_film=self.rim_film),
            duration=duration,
            tolerance=tolerance,
        )  # fmt: skip
        after = replace(
            self,
            lower=below.pile.layers[0],
            upper=above.pile.layers[0],
            heaters=(below.pile.heaters[0], above.pile.heaters[1]),
        )
        return after, below, above


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class ColdPress:
    """Two unheated plates that keep the heat of the mould before."""

    lower: Layer
    upper: Layer
    outer: tuple[Outside, Outside]
    plate_skin: Joint
    skin_sheet: Joint
    room: float
    edge_film: float
    rim_film: float
    perimeter_per_area: float

    def _pile(self, layers: tuple[Layer, ...], joints: tuple[Joint, ...]) -> Pile:
        return Pile(
            layers=(self.lower, *layers, self.upper),
            joints=joints,
            bottom=self.outer[0],
            top=self.outer[1],
            room=self.room,
            edge_film=self.edge_film,
            perimeter_per_area=self.perimeter_per_area,
            rim_film=self.rim_film,
        )

    def around(self, mould: Mould) -> Pile:
        """The column with a mould between the plates."""
        return self._pile(mould.layers, (self.plate_skin, self.skin_sheet, self.skin_sheet, self.plate_skin))

    def hold(
        self, mould: Mould, *, duration: float, until: Until | None = None, tolerance: float = TOLERANCE,
        profiles: bool = False,
    ) -> tuple[ColdPress, Mould, Outcome]:  # fmt: skip
        """Keep a mould clamped."""
        outcome = run(
            self.around(mould), duration=duration, until=until, tolerance=tolerance, profiles=profiles
        )
        lower, a, b, c, upper = outcome.pile.layers
        return replace(self, lower=lower, upper=upper), Mould(a, b, c), outcome

    def stand_empty(self, duration: float, *, tolerance: float = TOLERANCE) -> ColdPress:
        """Wait for the next mould: the plates rest on each other."""
        if duration <= 0:
            return self
        outcome = run(self._pile((), (self.plate_skin,)), duration=duration, tolerance=tolerance)
        return replace(self, lower=outcome.pile.layers[0], upper=outcome.pile.layers[1])


def carry_through_air(
    mould: Mould,
    *,
    duration: float,
    skin_sheet: Joint,
    faces: tuple[Outside, Outside],
    room: float,
    edge_film: float,
    perimeter_per_area: float,
    until: Until | None = None,
    tolerance: float = TOLERANCE,
) -> tuple[Mould, Outcome]:
    """A mould on its way from press to press, or on a rack: air on both faces."""
    pile = Pile(
        mould.layers,
        (skin_sheet, skin_sheet),
        faces[0],
        faces[1],
        room=room,
        edge_film=edge_film,
        perimeter_per_area=perimeter_per_area,
    )
    outcome = run(pile, duration=duration, until=until or None, tolerance=tolerance)
    a, b, c = outcome.pile.layers
    return Mould(a, b, c), outcome
