"""Jobs on many machines that see one folder, by dask.distributed; the only file that knows it."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from pathlib import Path

from idkit import flows
from idkit.batch.jobs import Job, Manner, Outcome, Problem
from idkit.batch.working import identify, one_thread
from idkit.errors import CallError, IdkitError, MissingExtra, StoreError, installing

FEWEST = 50  # photos of a piece: sending one costs more than reading a photo
PATIENCE = 20  # seconds until a scheduler answers


def on_cluster(jobs: Sequence[Job], manner: Manner, address: str, stop: threading.Event) -> Iterator[Outcome]:
    """What each job gives, piece by piece. A piece whose worker is lost is done again by another.

    MissingExtra without dask.distributed; StoreError where no scheduler answers; CallError where a worker does not see
    the folder or has another idkit.
    """
    try:
        import distributed
    except ImportError:
        right = f"on every machine, {installing('cluster')}"
        raise MissingExtra("--cluster", "needs dask.distributed, which is not installed", "", right) from None
    try:
        client = distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        got = f"no scheduler answers at {address!r} ({type(error).__name__})"
        raise StoreError("--cluster", got, "such as tcp://192.0.2.7:8786", "start one with: dask scheduler") from None
    with client:
        sent = {client.submit(_piece, piece, manner, pure=False): piece for piece in pieces(jobs)}
        for future in distributed.as_completed(sent, loop=client.loop):
            yield from _outcomes(future, sent.pop(future))
            if stop.is_set():
                client.cancel(list(sent))
                return


def pieces(jobs: Sequence[Job], fewest: int = FEWEST) -> list[tuple[Job, ...]]:
    """The jobs in pieces of at least that many photos; what is left over goes with the last.

    >>> [len(piece) for piece in pieces([Job(str(i), ("a.jpg",)) for i in range(120)])]
    [50, 70]
    """
    found: list[list[Job]] = [[]]
    count = 0
    for job in jobs:
        if count >= fewest:
            found.append([])
            count = 0
        found[-1].append(job)
        count += len(job.photos)
    if len(found) > 1 and count < fewest:
        last = found.pop()
        found[-1] += last
    return [tuple(piece) for piece in found if piece]


def _piece(jobs: Sequence[Job], manner: Manner) -> list[Outcome]:
    """On a worker: the jobs of a piece, one after another."""
    one_thread()
    if not Path(manner.folder).is_dir():
        raise CallError("--cluster", f"a worker does not see {manner.folder}", "one shared folder, by one path on all")
    if flows.digest() != manner.digest:
        raise CallError("--cluster", "a worker has another idkit than this machine", "the same version on all")
    return [identify(job, manner) for job in jobs]


def _outcomes(future: object, jobs: Sequence[Job]) -> Iterator[Outcome]:
    """What a piece gave; where it was lost too often, that for each of its jobs."""
    try:
        yield from future.result()  # type: ignore[attr-defined]
    except IdkitError:
        raise
    except Exception as error:
        why = f"was lost with its worker ({type(error).__name__}); run the same command again"
        yield from (Outcome(job.part, {}, (), (Problem(job.photos[0], why),), kept=False) for job in jobs)
