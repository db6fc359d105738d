#!/usr/bin/python3
"""The housing stock on a cluster of two workers, one of them killed half way, gives the rows of a
plain loop; a study that was ended goes on.  study_test.py BINARY SOURCE_FOLDER

20,000 dwellings take seconds, not minutes: a partition's dwellings of one route are one call of
`Layout.points`, which reads the layout once and changes the checked layout for each dwelling.
"""

import os
import pathlib
import signal
import sys
import tempfile

try:
    import distributed
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(77)

SOURCE = pathlib.Path(sys.argv[2])
sys.path.insert(0, str(SOURCE / "examples" / "study"))
import housing_stock as stock

DWELLINGS, SEED = 20_000, 7


def rows_of(folder):
    return [path.read_bytes() for path in sorted(pathlib.Path(folder).glob("part-*.csv"))]


def main():
    with tempfile.TemporaryDirectory() as folder:
        plain, cluster_out = pathlib.Path(folder) / "plain", pathlib.Path(folder) / "cluster"
        plain.mkdir()
        for number, count in stock.partitions(DWELLINGS):
            stock.write_partition(plain, number, count, SEED)
        expected = rows_of(plain)
        assert len(expected) == DWELLINGS // stock.PARTITION

        os.environ["PYTHONPATH"] = os.pathsep.join(
            [str(SOURCE / "examples" / "study"), os.environ.get("PYTHONPATH", "")])
        killed = []
        with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None,
                                      processes=True) as cluster, \
                distributed.Client(cluster) as client:
            workers = client.run(os.getpid)

            def done(_):
                finished = len(list(cluster_out.glob("part-*.csv")))
                if not killed and finished >= len(expected) // 2:
                    killed.append(next(iter(workers.values())))
                    os.kill(killed[0], signal.SIGKILL)

            stock.run(client, cluster_out, DWELLINGS, SEED, done)
        assert killed, "no worker was killed"
        assert rows_of(cluster_out) == expected, "the cluster's rows differ from the plain loop's"

        # Ended and begun again: what is there is kept, what is missing comes out the same.
        parts = sorted(cluster_out.glob("part-*.csv"))
        kept = parts[0].stat().st_mtime_ns
        for part in parts[5:]:
            part.unlink()
        for number, count in stock.partitions(DWELLINGS):
            stock.write_partition(cluster_out, number, count, SEED)
        assert parts[0].stat().st_mtime_ns == kept
        assert rows_of(cluster_out) == expected

        text, page = stock.summary(cluster_out)
        print(text)
        assert "invented" in text and "invented" in page.lower()
        assert page.count("<svg") == 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
