"""The lots of a stack's mould, from the words of a call and from a file."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from flatstock.cli.moulds import moulds_of_file, moulds_of_words
from flatstock.errors import WrongWords

NOW = datetime(2026, 3, 2, 7, tzinfo=UTC)
LOTS = (("L-2302", 0.7), ("L-2307", 0.3))


@pytest.mark.parametrize(
    "word",
    ["HDPE,12mm,09:00,180C,L-2302=0.7,L-2307=0.3", "HDPE;12mm;09:00;180C;L-2302=70%;L-2307=30%"],
)
def test_lots_stand_behind_the_core(word):
    (mould,) = moulds_of_words([word], zone=UTC, now=NOW)
    assert (mould.plastic, mould.core, mould.lots) == ("HDPE", 180.0, LOTS)


def test_lots_need_no_core():
    (mould,) = moulds_of_words(["HDPE,12mm,09:00,L-2302=0.7,L-2307=0.3"], zone=UTC, now=NOW)
    assert (mould.core, mould.lots) == (None, LOTS)


def test_lots_of_a_file_stand_in_one_column(tmp_path):
    file = tmp_path / "moulds.csv"
    file.write_text(
        "plastic,thickness_mm,arrives,lots\nHDPE,12,09:00,L-2302=70% L-2307=30%\nHDPE,12,09:30,\n"
    )
    both, alone = moulds_of_file(file, zone=UTC, now=NOW)
    assert (both.lots, alone.lots) == (LOTS, ())


def test_shares_that_do_not_sum_to_one_are_told(tmp_path):
    with pytest.raises(WrongWords, match=r"0\.7 \+ 0\.2 sum to 0\.9"):
        moulds_of_words(["HDPE,12mm,09:00,L-2302=0.7,L-2307=0.2"], zone=UTC, now=NOW)
