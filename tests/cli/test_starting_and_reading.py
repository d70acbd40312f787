"""`flatstock new` and `flatstock read`."""


def test_a_new_workshop_takes_defaults_where_nobody_is_asked_and_reads_back(call, tmp_path):
    done = call("new", tmp_path / "mine", "--defaults")
    assert done.code == 0
    assert f"flatstock read {tmp_path / 'mine'}" in done.out
    assert call("read", tmp_path / "mine").code == 0


def test_the_next_call_is_told_by_the_name_that_the_start_script_was_called_by(call, tmp_path, monkeypatch):
    monkeypatch.setenv("FLATSTOCK_CALLED", "./flatstock")
    assert f"  ./flatstock read {tmp_path / 'mine'}" in call("new", tmp_path / "mine", "--defaults").out


def test_a_copy_of_the_demo_is_the_demo(call, tmp_path):
    assert call("new", tmp_path / "copy", "--demo").code == 0
    read = call("read", tmp_path / "copy", "--json")
    assert (read.code, read.document["format"]) == (0, "flatstock.read/1")
    assert read.document["counts"]["orders"] == 7


def test_a_folder_that_holds_something_is_left_alone(call, tmp_path):
    (tmp_path / "letter.txt").touch()
    done = call("new", tmp_path)
    assert done.code == 1
    assert "there is something in it already" in done.err
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_every_fault_of_a_broken_workshop_is_told_at_once(call, tmp_path):
    call("new", tmp_path / "w", "--demo")
    shop = tmp_path / "w" / "shop.toml"
    lots = tmp_path / "w" / "lots.csv"
    shop.write_text(shop.read_text(encoding="utf-8") + "\nroom_temprature = 3\n", encoding="utf-8")
    lots.write_text(lots.read_text(encoding="utf-8").replace("released", "relesed", 1), encoding="utf-8")
    done = call("read", tmp_path / "w")
    assert (done.code, done.out) == (1, "")
    *faults, last = done.err.splitlines()
    assert any("shop.toml" in fault for fault in faults)
    assert any("lots.csv" in fault and "relesed" in fault for fault in faults)
    assert last == f"{len(faults)} faults in {tmp_path / 'w'}; nothing was changed."
    as_json = call("read", tmp_path / "w", "--json")
    assert as_json.code == 1
    assert as_json.document["format"] == "flatstock.refusal/1"
    assert len(as_json.document["faults"]) == len(faults)


def test_a_folder_without_a_workshop_is_told(call, tmp_path):
    done = call("read", tmp_path / "nowhere")
    assert done.code == 1
    assert "nowhere" in done.err


def test_read_tells_what_does_not_fit_together_in_a_room_once(call, tmp_path, demo_folder):
    folder = tmp_path / "shop"
    folder.mkdir()
    for file in demo_folder.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    room = folder / "room.toml"
    room.write_text(
        room.read_text("utf-8")
        .replace("x1_mm = 9200", "x1_mm = 9000")
        .replace("grid_mm = 100", "gird_mm = 100"),
        "utf-8",
    )
    done = call("read", folder)
    assert done.code == 1
    assert done.err.count("lies in no wall") == 1
    assert done.err.count("unknown key 'gird_mm'") == 1
    assert "2 faults" in done.err
