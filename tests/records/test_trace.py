"""Trace and recall: complete on any graph of lots, both ways."""

import networkx as nx
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flatstock.records import Store, trace
from flatstock.records.trace import Thing
from tests.records.some import MONDAY, a_lot, a_weighing

FEW = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def test_a_bad_lot_is_found_in_the_sheets_of_its_regrind_and_in_their_orders(store: Store):
    """Story 10 of the job map: L-2301 is a parent of the regrind L-2308, which is in the blue sheets."""
    for name in ("L-2301", "L-2302", "L-2306", "L-2308", "L-2309"):
        a_lot(store, name)
    with store.writing() as db:
        for parent in ("L-2301", "L-2302"):
            trace.note(db, Thing("lot", parent), Thing("lot", "L-2308"), at=MONDAY, who=["OP4"])
        trace.note(db, Thing("sheet", "B-014"), Thing("order", "O-101"), at=MONDAY, who=["OP1"])
    parts = [("L-2302", 15.8), ("L-2308", 1.0), ("L-2309", 0.8)]
    store.append(a_weighing(f"W-{lot}", lot, mass) for lot, mass in parts)
    store.append([a_weighing("W-D", "L-2301", sheet="D-001")])
    with store.reading() as db:
        recalled = trace.forward(db, Thing("lot", "L-2301"))
        assert recalled == {
            Thing("sheet", "D-001"), Thing("lot", "L-2308"), Thing("sheet", "B-014"), Thing("order", "O-101")
        }  # fmt: skip
        behind = trace.backward(db, Thing("order", "O-101"))
        assert Thing("lot", "L-2301") in behind
        assert Thing("lot", "L-2306") not in behind


EDGES = st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=20)


@FEW
@given(edges=EDGES)
def test_a_trace_finds_what_a_walk_over_the_graph_finds(store: Store, edges: list[tuple[int, int]]):
    """Against networkx, loops included; each example in lots of its own."""
    with store.writing() as db:
        run = store_run(store)
        for a, b in edges:
            trace.note(db, Thing("lot", f"{run}-{a}"), Thing("lot", f"{run}-{b}"), at=MONDAY, who=[])
        graph = nx.DiGraph(edges)
        for n in graph:
            on, back = nx.descendants(graph, n), nx.ancestors(graph, n)
            assert trace.forward(db, Thing("lot", f"{run}-{n}")) == {Thing("lot", f"{run}-{m}") for m in on}
            assert trace.backward(db, Thing("lot", f"{run}-{n}")) == {
                Thing("lot", f"{run}-{m}") for m in back
            }


_RUNS: dict[int, int] = {}


def store_run(store: Store) -> int:
    _RUNS[id(store)] = _RUNS.get(id(store), 0) + 1
    return _RUNS[id(store)]
