"""The workers: what they can't do in time or in memory is ended, and the next job is done all the same."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit.show.web import looking
from idkit.show.web.looking import Asked
from idkit.show.web.working import Line, NotDone

SAMPLES = Path(__file__).resolve().parents[3] / "sample_images"
VALVE = Asked((SAMPLES / "angle-valve.jpg",))


def at_work(what: Callable[[Line], Awaitable[None]], seconds: float = 60.0, memory: int = 3 << 30) -> None:
    """Do something with a line of one worker, and close it."""

    async def working() -> None:
        line = Line(1, seconds, memory)
        line.open()
        try:
            await what(line)
        finally:
            await line.close()

    asyncio.run(working())


def test_a_job_that_takes_too_long_is_stopped_and_the_next_is_done() -> None:
    async def what(line: Line) -> None:
        await line.put(0, looking.shown, VALVE).done  # the worker is up
        line.seconds = 0.01
        with pytest.raises(NotDone, match=r"longer than 0\.01 seconds"):
            await line.put(0, looking.shown, Asked((SAMPLES / "hinge.jpg",))).done
        line.seconds = 60.0
        assert (await line.put(0, looking.shown, VALVE).done).record is not None

    at_work(what)


def test_a_worker_that_dies_is_replaced() -> None:
    async def what(line: Line) -> None:
        await line.put(0, looking.shown, VALVE).done
        line.workers[0].process.kill()
        with pytest.raises(NotDone, match="broke down"):
            await line.put(0, looking.shown, VALVE).done
        assert (await line.put(0, looking.shown, VALVE).done).record is not None

    at_work(what)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds a process to so much memory")
def test_a_small_file_that_unfolds_to_a_huge_picture_is_refused(tmp_path: Path) -> None:
    """A PNG of 81 megapixels in 16 bits is 162 MB, three times that as colours: more than the worker may take."""
    _, data = cv2.imencode(".png", np.zeros((9000, 9000), np.uint16))
    (tmp_path / "huge.png").write_bytes(data.tobytes())

    async def what(line: Line) -> None:
        with pytest.raises(NotDone, match=r"memory|broken"):
            await line.put(0, looking.shown, Asked((tmp_path / "huge.png",))).done
        assert (await line.put(0, looking.shown, VALVE).done).record is not None

    at_work(what, memory=450 << 20)


def test_a_place_in_line_is_known_and_closing_finishes_the_line() -> None:
    tickets = []

    async def what(line: Line) -> None:
        tickets.extend(line.put(0, looking.shown, VALVE) for _ in range(4))
        assert [line.ahead(ticket) for ticket in tickets] == [0, 1, 2, 3]
        await tickets[1].done
        assert line.ahead(tickets[3]) <= 2

    at_work(what)
    assert all(ticket.done.result().record is not None for ticket in tickets)
