"""The line in front of the worker processes: photos are decoded there, within limits of time and memory."""

from __future__ import annotations

import asyncio
import copyreg
import multiprocessing
import signal
import sys
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from types import MappingProxyType
from typing import Any

from idkit.errors import IdkitError, StoreError
from idkit.show.web.looking import Desk

SECONDS = 60.0  # for one job: a photo of 200 megapixels takes about 20
MEMORY = 3 << 30  # bytes beyond what a worker starts with
LONGEST = 200  # jobs in line
STOPPING = 5.0  # seconds that a worker has to leave

Job = Callable[..., Any]


def _read_only(items: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(items)


# Records hold read-only mappings, which pickle can't carry by itself.
copyreg.pickle(MappingProxyType, lambda mapping: (_read_only, (dict(mapping),)))


class NotDone(Exception):
    """A job that could not be done, in one line; `kind` is the name of the error it ended in."""

    def __init__(self, kind: str, line: str) -> None:
        super().__init__(line)
        self.kind = kind


@dataclass(eq=False)
class Ticket:
    """A place in line. `done` ends in what the job gave, or in NotDone."""

    job: Job
    given: tuple[Any, ...]
    done: asyncio.Future[Any]


@dataclass(eq=False)
class Worker:
    """One process, the pipe to it, and the jobs that wait for it; the first is being done."""

    process: BaseProcess
    pipe: Connection
    waiting: deque[Ticket] = field(default_factory=deque)
    woken: asyncio.Event = field(default_factory=asyncio.Event)


class Line:
    """Workers and the jobs that wait for them. Jobs of one part go to one worker, in order."""

    def __init__(self, count: int, seconds: float = SECONDS, memory: int = MEMORY) -> None:
        self.seconds, self.memory = seconds, memory
        self.workers = [Worker(*_started(memory)) for _ in range(count)]
        self.tasks: list[asyncio.Task[None]] = []

    def open(self) -> None:
        """Begin to work; called in the running loop."""
        self.tasks = [asyncio.create_task(self._work(worker)) for worker in self.workers]

    def free(self) -> int:
        """The worker with the fewest jobs."""
        return min(range(len(self.workers)), key=lambda number: len(self.workers[number].waiting))

    def put(self, worker: int, job: Job, *given: Any) -> Ticket:
        """Stand in line for a worker; NotDone where the line is full."""
        if sum(len(each.waiting) for each in self.workers) >= LONGEST:
            raise NotDone("Busy", "the line is full; wait a minute, then try again")
        ticket = Ticket(job, given, asyncio.get_running_loop().create_future())
        self.workers[worker].waiting.append(ticket)
        self.workers[worker].woken.set()
        return ticket

    def ahead(self, ticket: Ticket) -> int:
        """How many jobs come before it; 0 where it is being done, or done."""
        return next((list(each.waiting).index(ticket) for each in self.workers if ticket in each.waiting), 0)

    async def close(self) -> None:
        """Finish what runs and what waits, then let the workers go."""
        left = [ticket.done for worker in self.workers for ticket in worker.waiting]
        await asyncio.gather(*left, return_exceptions=True)
        for task in self.tasks:
            task.cancel()
        for worker in self.workers:
            await asyncio.to_thread(_let_go, worker)

    async def _work(self, worker: Worker) -> None:
        while True:
            while worker.waiting:
                ticket = worker.waiting[0]
                told = await asyncio.to_thread(self._done, worker, ticket)
                worker.waiting.popleft()
                _settle(ticket, told)
            worker.woken.clear()
            await worker.woken.wait()

    def _done(self, worker: Worker, ticket: Ticket) -> tuple[str, Any]:
        """What the worker says of a job; one that takes too long or breaks down is replaced."""
        try:
            worker.pipe.send((ticket.job, ticket.given))
            if worker.pipe.poll(self.seconds):
                told: tuple[str, Any] = worker.pipe.recv()
                return told
            line = f"it took longer than {self.seconds:g} seconds and was stopped; try a smaller photo"
        except (EOFError, OSError):
            line = "the process that reads photos broke down over it; try another photo"
        worker.process.kill()
        worker.process.join()
        worker.process, worker.pipe = _started(self.memory)
        return "Broken", line


def _settle(ticket: Ticket, told: tuple[str, Any]) -> None:
    kind, value = told
    if ticket.done.cancelled():
        return
    if kind == "":
        ticket.done.set_result(value)
    else:
        ticket.done.set_exception(NotDone(kind, value))
        ticket.done.exception()  # so that nobody is told of one that nobody waits for


def _let_go(worker: Worker) -> None:
    with suppress(OSError):
        worker.pipe.send(None)
    worker.process.join(STOPPING)
    worker.process.kill()


def _started(memory: int) -> tuple[BaseProcess, Connection]:
    """A new worker, free of what this process holds, and this end of the pipe to it."""
    spawn = multiprocessing.get_context("spawn")
    ours, theirs = spawn.Pipe()
    process = spawn.Process(target=_serve, args=(theirs, memory), daemon=True)
    process.start()
    theirs.close()
    return process, ours


def _serve(pipe: Connection, memory: int) -> None:
    """What a worker does until it is let go: one job after another. Ctrl-C is for the process that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    _limit(memory)
    desk = Desk()
    while True:
        try:
            asked = pipe.recv()
        except EOFError:
            return
        if asked is None:
            return
        job, given = asked
        pipe.send(_told(job, desk, given))


def _told(job: Job, desk: Desk, given: tuple[Any, ...]) -> tuple[str, Any]:
    """What a job gave, or the kind of error and its line."""
    try:
        return "", job(desk, *given)
    except IdkitError as error:
        return type(error).__name__, str(error)
    except MemoryError:
        return "Broken", "the photo needs more memory than one photo may take; save it smaller"
    except OSError as error:
        return StoreError.__name__, f"it could not be written or read ({error.strerror})"
    except Exception as error:  # whatever else: the worker lives on, and the person is told
        return "Broken", " ".join(f"could not go on ({type(error).__name__}: {error})".split())


def _limit(memory: int) -> None:
    """So much memory beyond what the process has now, where the system can hold it to that."""
    if sys.platform != "linux":
        return
    import resource
    from pathlib import Path

    pages = int(Path("/proc/self/statm").read_text().split()[0])  # proc(5): the first is all that is mapped
    most = pages * resource.getpagesize() + memory
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
