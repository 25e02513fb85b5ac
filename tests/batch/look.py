"""Holds that evenings spread over four workers, one of which is killed, are those of one run.

    python look.py PROGRAM EVENING.toml
"""

import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from dask.distributed import Client, LocalCluster
from spread import ranges, spread

EVENINGS, PARTS, WORKERS = 160, 16, 4


def watched(program, folder):
    """A program that notes each part it begins, and then is the program."""
    noting = Path(folder) / "noting"
    noting.write_text(
        f'#!/bin/sh\necho "$4" >> "{folder}/begun"\nexec "{program}" "$@"\n'
    )
    noting.chmod(0o755)
    return str(noting)


def kill_one(client, folder):
    """Kills a worker that is in the middle of a part; what it has begun goes on without it."""
    begun = Path(folder) / "begun"
    while not begun.exists() or len(begun.read_text().split()) < WORKERS:
        time.sleep(0.02)
    pid = sorted(client.run(os.getpid).values())[0]
    os.kill(pid, signal.SIGKILL)


def main():
    program, evening = (str(Path(p).resolve()) for p in sys.argv[1:3])
    run = [program, "run", evening, "--trials", str(EVENINGS), "--json", "--quiet"]
    whole = subprocess.run(run, capture_output=True, check=True).stdout
    with tempfile.TemporaryDirectory() as folder:
        cluster = LocalCluster(n_workers=WORKERS, threads_per_worker=1, dashboard_address=None)
        with cluster, Client(cluster) as client:
            from threading import Thread

            killer = Thread(target=kill_one, args=(client, folder))
            client.upload_file(str(Path(__file__).with_name("spread.py")))
            killer.start()
            parts = spread(client, watched(program, folder), evening, EVENINGS, PARTS, Path(folder) / "parts")
            killer.join()
        begun = (Path(folder) / "begun").read_text().split()
        merged = subprocess.run([program, "merge", "--json", *parts], capture_output=True, check=True).stdout
    again = len(begun) - len(ranges(EVENINGS, PARTS))
    print(f"{len(parts)} parts on {WORKERS} workers, one killed; {again} begun again")
    if again < 1:
        sys.exit("no part was begun again: the killed worker had none")
    if merged != whole:
        sys.exit("the merged answer is not that of one run")
    print("the merged answer is that of one run, to the byte")


if __name__ == "__main__":
    main()
