"""The same tasks on a Dask cluster: `plusway mark FOLDER --scheduler ADDRESS`. Needs the extra: pip install plusway[cluster]."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from ... import __version__
from ..errors import UsageError
from .marked import Marked
from .run import Job, Marker, Task, mark_task

RETRIES = 3
TIMEOUT = "15s"


def on_cluster(address: str) -> Marker:
    """A marker that hands the notebooks to the cluster's workers; what a lost worker had is given to another.

    Raises UsageError where there is no Dask, no scheduler, or no worker with the same plusway.
    """
    try:
        from distributed import Client, as_completed
    except ImportError:
        raise UsageError("--scheduler: Dask is not installed; pip install 'plusway[cluster]'") from None

    def marker(tasks: Iterable[Task], job: Job) -> Iterator[tuple[Task, Marked]]:
        try:
            client = Client(address, timeout=TIMEOUT)
        except (OSError, ValueError, TypeError) as error:
            raise UsageError(f"--scheduler {address}: no Dask scheduler answers there ({type(error).__name__})") from None
        with client:
            width = _width(client, address)
            shared = client.scatter(job, broadcast=True, hash=False)
            waiting = iter(tasks)
            pending: dict[Any, Task] = {}

            def submitted(count: int) -> Iterator[Any]:
                for task in islice(waiting, count):
                    future = client.submit(mark_task, task, shared, pure=False, retries=RETRIES)
                    pending[future.key] = task
                    yield future

            done = as_completed(list(submitted(4 * width)))
            for future in done:
                task = pending.pop(future.key)
                yield task, _result(future, task, job)
                future.release()
                done.update(list(submitted(1)))

    return marker


def _result(future: Any, task: Task, job: Job) -> Marked:
    """What the cluster says of a notebook; where it lost the task with a worker once too often, the same is done here."""
    if future.status == "finished":
        marked = future.result()
        assert isinstance(marked, Marked)
        return marked
    return mark_task(task, job)


def _width(client: Any, address: str) -> int:
    """How many tasks the workers take at once. Raises UsageError where there are none, or they have another plusway."""
    workers = client.scheduler_info(n_workers=-1)["workers"]
    if not workers:
        raise UsageError(f"--scheduler {address}: the cluster has no worker; start one with dask worker {address}")
    versions = client.run(_version, on_error="return")
    strange = sorted({str(v) for v in versions.values() if v != __version__})
    if strange:
        raise UsageError(f"--scheduler {address}: this is plusway {__version__}, a worker says {strange[0]}; "
                         "install the same plusway everywhere")
    return sum(int(worker["nthreads"]) for worker in workers.values())


def _version() -> str:
    return __version__
