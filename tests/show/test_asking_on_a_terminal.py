"""The questions as a person meets them: keys of a real terminal, or lines of a pipe."""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from idkit import flows
from idkit.show import asking, cli

ROOT = Path(__file__).resolve().parents[2]
PUMP = ROOT / "sample_images" / "pump-body.jpg"
Captured = pytest.CaptureFixture[str]


class Keys:
    """A hand that presses the keys given, then lets go."""

    def __init__(self, *keys: str) -> None:
        self.left = list(keys)

    def __call__(self) -> str:
        if not self.left:
            raise EOFError
        return self.left.pop(0)


def asked(*keys: str, **typed: str) -> flows.Case:
    hand = Keys(*keys)
    return asking.ask(flows.begin([], typed, flows.Context()), asking.Hand(hand, hand))


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path))


def test_a_key_answers_enter_passes_over_and_q_stops(capsys: Captured) -> None:
    assert asked("3", "q", form="sheet").typed == {"form": "sheet", "magnet": "strong"}
    passed = asked("\r", "q", form="sheet")
    assert passed.typed == {"form": "sheet"}
    assert "magnet" in passed.context.skipped
    assert "Does a magnet pull on it?" in capsys.readouterr().out


def test_an_enter_right_after_a_key_belongs_to_it() -> None:
    """Later, or after another Enter, it passes a question over."""
    clock = iter([0.0, 0.3, 0.4, 5.0, 9.0, 9.1])
    keys = asking.after_a_key(Keys("1", "\r", "2", "\r", "\r", "q"), lambda: next(clock))
    assert [keys() for _ in range(5)] == ["1", "2", "\r", "\r", "q"]


def test_a_wrong_key_is_asked_again_in_one_line(capsys: Captured) -> None:
    assert asked("z", "9", "1", "q", form="sheet").typed["magnet"] == "none"
    assert capsys.readouterr().err.count("press one of the 4 keys above, or Enter") == 2


def test_x_leaves_it_closed(capsys: Captured) -> None:
    assert asked("x", "q", form="casting").context.unsafe
    assert "Leave it closed" in capsys.readouterr().out


def test_what_cannot_be_read_is_said_and_asked_again(capsys: Captured) -> None:
    typed = {"magnet": "none", "form": "casting", "heft": "heavier", "thickness": "3 mm", "knife-or-nail": "neither"}
    typed |= {"came-out-of": "no idea", "marked": "nothing", "file-feel": "chips", "scratch-colour": "grey-white"}
    case = asked("heavy", "100 g", "660 g", "100 g", "q", **typed)
    assert "--weight: got 'heavy'" in capsys.readouterr().err
    assert (case.typed["weight"], case.typed["jar"]) == ("660 g", "100 g")


def test_from_the_command_the_jar_is_asked_for_in_two_lines(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    """The options that were not given are no answers."""
    told = ["--magnet", "none", "--form", "casting", "--thickness", "4 mm", "--scratch-colour", "gray-white"]
    for name, answer in (("heft", "heavier"), ("knife-or-nail", "neither"), ("file-feel", "chips"), ("marked", "-")):
        told += ["--answer", f"{name}={answer}"]
    monkeypatch.setattr("builtins.input", Keys("660 g", "100 g"))
    assert cli.run(["identify", *told, "--came-out-of", "gubbins", "--ask"]) == 0
    assert "Pile settled: zinc die cast" in capsys.readouterr().out


def test_an_option_given_twice_is_refused(capsys: Captured) -> None:
    """The first would be lost, and with it the danger in it."""
    assert cli.run(["identify", "--came-out-of", "fridge", "--came-out-of", "radiator"]) == 2
    assert "--came-out-of: given twice" in capsys.readouterr().err


def test_a_hand_sorter_is_done_with_the_magnet_and_one_more(capsys: Captured) -> None:
    """A motor: the magnet and its form."""
    hand = Keys("1", "c")
    case = asking.ask(flows.begin([PUMP], {}, flows.Context(), every_cue=False), asking.Hand(hand, hand))
    assert case.question is None
    assert case.identified.record.verdict.sure
    assert "Pile settled: electric motors" in capsys.readouterr().out


def test_a_pipe_answers_by_lines(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setattr("builtins.input", Keys("1", "q"))
    assert cli.run(["identify", str(PUMP), "--ask"]) == 0
    out = capsys.readouterr().out
    assert out.index("Grey metal; a photo can't tell which. What does the magnet do?") < out.index("Could be")
    assert "Confirm at the yard" in out


def test_with_an_answer_or_json_or_no_ask_nothing_is_asked(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setattr("idkit.show.terminal.is_seen", lambda: True)
    monkeypatch.setattr("idkit.show.asking.hand", lambda: pytest.fail("asked"))
    for more in (["--magnet", "none"], ["--json"], ["--no-ask"]):
        assert cli.run(["identify", str(PUMP), *more]) == 0
    capsys.readouterr()


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_a_real_terminal_asks_with_a_photo_alone(tmp_path: Path) -> None:
    import pty

    ours, theirs = pty.openpty()
    environment = {**os.environ, "IDKIT_HOME": str(tmp_path), "TERM": "dumb"}
    command = [sys.executable, "-c", "from idkit.show.cli import main; main()", "identify", str(PUMP)]
    running = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT, env=environment, close_fds=True
    )
    os.close(theirs)
    shown = _until(ours, "stop\r\n> ")
    time.sleep(0.5)  # a key pressed before the terminal listens is dropped
    os.write(ours, b"1")
    shown += _until(ours, "stop\r\n> ")
    time.sleep(0.5)
    os.write(ours, b"q")
    shown += _until(ours, "Confirm at the yard")
    assert running.wait(timeout=60) == 0
    assert "What does the magnet do?" in shown
    assert "What shape of thing is it?" in shown


def _until(terminal: int, words: str, patience: float = 60.0) -> str:
    """What the terminal shows until those words come."""
    shown, end = "", time.monotonic() + patience
    while words not in shown and time.monotonic() < end:
        if not select.select([terminal], [], [], 1.0)[0]:
            continue
        try:
            shown += os.read(terminal, 4096).decode("utf-8", "replace")
        except OSError:  # the other end is closed
            break
    assert words in shown, shown
    return shown


# The bench ------------------------------------------------------------------------------------------------------------


def test_the_bench_is_shown_saved_and_used(capsys: Captured) -> None:
    assert cli.run(["bench", "scale", "kitchen", "1 g"]) == 0
    assert cli.run(["bench", "words", "us"]) == 0
    assert cli.run(["bench", "tool", "meter"]) == 0
    assert "kitchen (1 g)" in capsys.readouterr().out
    assert cli.run(["identify", "--form", "casting", "--weight", "50 g", "--scale", "kitchen"]) == 0
    out = capsys.readouterr().out
    assert "aluminum" in out
    assert "aluminium" not in out


def test_a_scale_is_checked_with_coins(capsys: Captured) -> None:
    """US Mint: 20 nickels are 100 g."""
    assert cli.run(["bench", "check", "20 us nickels", "--shows", "100 g"]) == 0
    assert "It agrees" in capsys.readouterr().out
    assert cli.run(["bench", "check", "20 us nickels", "--shows", "110 g"]) == 0
    assert "10.0 % high" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (["bench", "scale", "1", "1 g"], "scale"),
        (["bench", "tool", "spoon"], "tool"),
        (["bench", "words", "fr"], "words"),
        (["bench", "magnet", "wooden"], "magnet"),
        (["bench", "check", "20 buttons", "--shows", "1 g"], "pieces"),
        (["identify", "--magnet", "none", "--scale", "truck"], "--scale"),
    ],
)
def test_what_is_wrong_is_one_line_and_status_two(arguments: list[str], named: str, capsys: Captured) -> None:
    assert cli.run(arguments) == 2
    err = capsys.readouterr().err
    assert len(err.strip().splitlines()) == 1
    assert named in err
