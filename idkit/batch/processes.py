"""Jobs on the cores of this machine, one process a core."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager

from idkit.batch.jobs import Job, Manner, Outcome, Problem
from idkit.batch.working import identify, one_thread

AHEAD = 2  # jobs that wait for each process, so that none idles


def on_this_machine(jobs: Sequence[Job], manner: Manner, processes: int, stop: threading.Event) -> Iterator[Outcome]:
    """What each job gives, as it is done. Once `stop` is set nothing more is begun, and what was begun is finished.

    Where a process is killed, the jobs that were at hand are done again one by one; the one that kills it twice is
    told as a problem and the others go on.
    """
    if min(processes, len(jobs)) <= 1:
        yield from (identify(job, manner) for job in jobs if not stop.is_set())
        return
    waiting, at_hand = deque(jobs), dict[Future[Outcome], Job]()
    while waiting and not stop.is_set():
        try:
            yield from _together(waiting, at_hand, manner, processes, stop)
        except BrokenProcessPool:
            suspects = list(at_hand.values())
            at_hand.clear()
            for job in suspects:
                yield _alone(job, manner)


def _together(
    waiting: deque[Job], at_hand: dict[Future[Outcome], Job], manner: Manner, processes: int, stop: threading.Event
) -> Iterator[Outcome]:
    with _pool(min(processes, len(waiting))) as pool:
        try:
            while at_hand or (waiting and not stop.is_set()):
                while waiting and len(at_hand) < AHEAD * processes and not stop.is_set():
                    job = waiting.popleft()
                    with _unheard():
                        at_hand[pool.submit(identify, job, manner)] = job
                for future in wait(at_hand, return_when=FIRST_COMPLETED).done:
                    outcome = future.result()
                    del at_hand[future]
                    yield outcome
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _alone(job: Job, manner: Manner) -> Outcome:
    """A job in a process of its own."""
    with _pool(1) as pool:
        try:
            with _unheard():
                future = pool.submit(identify, job, manner)
            return future.result()
        except BrokenProcessPool:
            why = "ended the process that was reading it, as where memory runs out; try it alone, saved smaller"
            return Outcome(job.part, {}, (), (Problem(job.photos[0], why),), kept=False)


@contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl-C waits while a process may be started, which then does not hear it either, from its very first moment."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _pool(processes: int) -> ProcessPoolExecutor:
    context = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(processes, mp_context=context, initializer=_begin)


def _begin() -> None:
    """In a new process: one thread, Ctrl-C is the parent's to hear, and none outlives the parent."""
    one_thread()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
