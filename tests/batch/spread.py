"""Spreads the evenings of `elbowroom run` over the workers of a Dask cluster and merges the parts.

    python spread.py elbowroom evening.toml --evenings 2000 --parts 40 --folder parts
    python spread.py elbowroom evening.toml --evenings 2000 --scheduler tcp://office:8786 --folder /shared/parts

Without --scheduler the workers are processes on this machine. With one, every worker needs the same
build of elbowroom, the files, and the folder at the same paths. A part whose worker dies is played
again on another. What `merge` prints is what one `run` would have said.
"""

import argparse
import subprocess
import sys
import uuid
from pathlib import Path

from dask.distributed import Client, LocalCluster, as_completed


def ranges(evenings, parts):
    """Evenings 0 to the last in so many ranges of about the same length."""
    ends = [evenings * i // parts for i in range(parts + 1)]
    return [(a, b) for a, b in zip(ends, ends[1:]) if a < b]


def play(program, file, first, end, folder, more):
    """Plays one part on the worker this runs on; the file appears whole or not at all."""
    # one that was begun before on a worker that is gone may still be written: it gets another name
    part = Path(folder) / f"{first}-{end}-{uuid.uuid4().hex[:8]}.part"
    said = subprocess.run(
        [program, "run", file, "--trials", f"{first}..{end}", "--part", str(part), "--threads", "1", *more],
        capture_output=True, text=True,
    )
    if said.returncode != 0:
        raise RuntimeError(said.stderr.strip())
    return str(part)


def spread(client, program, file, evenings, parts, folder, more=()):
    """Plays all parts, whatever happens to single workers, and returns their paths."""
    Path(folder).mkdir(parents=True, exist_ok=True)
    tasks = [
        client.submit(play, program, file, a, b, str(folder), list(more), pure=False, retries=2)
        for a, b in ranges(evenings, parts)
    ]
    return [task.result() for task in as_completed(tasks)]


def main():
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("program")
    ask.add_argument("file")
    ask.add_argument("--evenings", type=int, default=500)
    ask.add_argument("--parts", type=int, default=16)
    ask.add_argument("--workers", type=int, default=4, help="processes on this machine, without --scheduler")
    ask.add_argument("--scheduler", help="address of a Dask scheduler")
    ask.add_argument("--folder", default="parts", help="where parts go")
    ask.add_argument("more", nargs="*", help="options of `run`, after --")
    said = ask.parse_args()
    cluster = said.scheduler or LocalCluster(
        n_workers=said.workers, threads_per_worker=1, dashboard_address=None
    )
    with Client(cluster) as client:
        parts = spread(client, said.program, said.file, said.evenings, said.parts, said.folder, said.more)
    sys.exit(subprocess.run([said.program, "merge", *parts]).returncode)


if __name__ == "__main__":
    main()
