"""The command that opens the page, where it can't."""

from __future__ import annotations

import socket
import sys
from pathlib import Path

import pytest

from idkit.show import cli
from idkit.show.web import running
from idkit.show.web.running import Wanted


def test_a_port_that_is_taken_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        assert cli.run(["serve", "--port", str(taken.getsockname()[1])]) == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize("arguments", [["--port", "0"], ["--port", "99999"], ["--picture", "code.bmp"]])
def test_what_can_not_be_is_refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["serve", "--port", "8", *arguments] if arguments[0] != "--port" else ["serve", *arguments]) == 2
    assert arguments[0] in capsys.readouterr().err


def test_without_its_packages_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "idkit.show.web.running", None)
    monkeypatch.delattr("idkit.show.web.running")
    assert cli.run(["serve"]) == 3
    assert "-m pip install '.[web]'" in capsys.readouterr().err


def test_the_code_holds_the_link(tmp_path: Path) -> None:
    """Read back by another library than the one that drew it: OpenCV's reader of QR codes (ISO/IEC 18004)."""
    import cv2
    import segno

    link = running.link_to(Wanted(8640, lan=True), ("192.0.2.7",), "a-key_of-22-characters")
    segno.make(link, micro=False).save(str(tmp_path / "code.png"), scale=8, border=4, light="white")
    found, _, _ = cv2.QRCodeDetector().detectAndDecode(cv2.imread(str(tmp_path / "code.png")))
    assert found == link


def test_this_machine_alone_has_no_name_on_the_network() -> None:
    assert "localhost" in running.names_of(Wanted(8640))
    assert running.address() not in running.names_of(Wanted(8640)) or running.address() == "127.0.0.1"
    assert "shed.lan" in running.names_of(Wanted(8640, lan=True, names=("shed.lan",)))
