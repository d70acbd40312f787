"""A shop that reads inches and °F is refused in inches and °F; documents for programs stay metric."""

import re

import pytest

from flatstock.workshop.start import StartAnswers, write_new


@pytest.fixture(scope="module")
def inches(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shops") / "inches"
    write_new(folder, StartAnswers(units="us"))
    return folder


def test_a_set_point_over_the_limit_is_refused_in_fahrenheit(call, inches):
    asked = ("--plastic", "hdpe", "--thickness", "1/2in", "--set-point", "600F")
    done = call("card", *asked, inches)
    assert done.code == 1
    assert "set-point 600 °F is above 428 °F" in done.err
    assert "°C" not in done.err
    document = call("card", *asked, inches, "--json").document
    assert "set-point 315.556 °C is above 220 °C" in document["faults"][0]["what"]


def test_a_thickness_without_a_frame_is_refused_with_thicknesses_that_may_be_asked_for(call, inches):
    done = call("card", "--plastic", "hdpe", "--thickness", "8mm", inches)
    assert "no frame of this workshop makes 0.315 in" in done.err
    most = done.err.split("ask for ")[1].split(" in")[0].split(" to ")[1]
    assert call("card", "--plastic", "hdpe", "--thickness", f"{most}in", inches).code == 0


def test_faults_of_its_files_are_read_in_inches_though_the_shop_cannot_be(call, inches, tmp_path):
    for file in inches.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "shop.toml").read_text("utf-8")
    short = re.sub(r"(?m)^platen_length_in = [\d.]+ ", "platen_length_in = 12 ", text, count=1)
    (tmp_path / "shop.toml").write_text(short, "utf-8")
    done = call("read", tmp_path)
    assert done.code == 1
    assert not re.search(r"\d ?mm", done.err)
    assert re.search(r"fits no hot press's platens \(HP1 12 in x [\d.]+ in\)", done.err)


def test_the_call_after_it_speaks_its_own_workshops_units(call, inches, demo_folder):
    call("card", "--plastic", "hdpe", "--thickness", "8mm", inches)
    done = call("card", "--plastic", "hdpe", "--thickness", "9mm", demo_folder)
    assert "no frame of this workshop makes 9 mm" in done.err
