#!/usr/bin/python3
"""The Python module says what the program says.  module_test.py BINARY SOURCE_FOLDER"""

import inspect
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import threading
import unittest

import numpy

import ductledger

BINARY, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
EXAMPLES = sorted((SOURCE / "examples").glob("*.yaml"))

TEXT = """layout: 1
site: {outdoor: {temperature: 30 degF}, indoor: {temperature: 70 degF}}
appliance: {kind: range-hood, collar: 8 in round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}
    - {name: low, speed_ratio: 0.5}
run:
  section: 8 in round
  heading: up
  pieces:
    - straight: LENGTH m
    - elbow: {turn: back, type: smooth-radius, radius_ratio: 1.5}
    - straight: 2 m
    - cap: {type: louver, coefficient: CAP}
house: {leakage: {airflow: 900 cfm, at: 50 Pa}}
"""


def text(length=1.0, cap=1.5):
    return TEXT.replace("LENGTH", repr(length)).replace("CAP", repr(cap))


def program(*words, stdin=None):
    done = subprocess.run([BINARY, *words], input=stdin, capture_output=True, text=True, cwd=SOURCE,
                          check=False)
    return json.loads(done.stdout)


def told(document):
    """Without what names the caller."""
    document = dict(document)
    document.pop("options", None)
    return json.loads(json.dumps(document))


class Module(unittest.TestCase):
    def test_documents_are_those_of_the_program(self):
        for path in EXAMPLES:
            self.assertEqual(told(ductledger.check(path)), told(program("check", "--json", str(path))))
        path = EXAMPLES[0]
        self.assertEqual(told(ductledger.check(str(path), advise=True)),
                         told(program("check", "--json", "--advise", str(path))))
        self.assertEqual(told(ductledger.review(path, rules="irc-2021")),
                         told(program("review", "--json", "--rules", "irc-2021", str(path))))
        wanted = 0.1
        ours = told(ductledger.size(text(), deliver_m3_s=wanted))
        theirs = told(program("size", "--json", "--deliver", f"{wanted} m3/s", "-", stdin=text()))
        for document in (ours, theirs):
            document.pop("layout")  # one is named <text>, the other <stdin>
        self.assertEqual(ours, theirs)

    def test_a_text_is_a_layout_and_anything_else_a_path(self):
        self.assertEqual(ductledger.check(text())["speeds"][0]["name"], "high")
        with self.assertRaises(ductledger.Error) as caught:
            ductledger.check("no-such-file.yaml")
        self.assertEqual(caught.exception.diagnostics[0]["rule"], "no-such-file")

    def test_errors_hold_the_diagnostics(self):
        with self.assertRaises(ductledger.Error) as caught:
            ductledger.check("layout: 1\nrun:\n  secton: 8 in round\n")
        self.assertIn("did you mean `section`?", str(caught.exception))
        self.assertTrue(any(one["place"]["line"] == 3 for one in caught.exception.diagnostics))

    def test_airflows_are_those_of_the_edited_text(self):
        layout = ductledger.Layout(text())
        lengths, caps = numpy.array([0.5, 1.0, 7.25]), numpy.array([[0.4], [2.5]])
        got = layout.airflow(**{"run.pieces[1].length": lengths, "run.pieces[4].coefficient": caps})
        self.assertEqual(got.shape, (2, 3))
        for i, cap in enumerate(caps[:, 0]):
            for j, length in enumerate(lengths):
                one = ductledger.check(text(float(length), float(cap)))
                self.assertEqual(got[i, j], one["speeds"][0]["operating_point"]["airflow_m3_s"])
        low = layout.points(speed="low")
        one = ductledger.check(text())["speeds"][1]
        self.assertEqual(float(low["airflow_m3_s"]), one["operating_point"]["airflow_m3_s"])
        self.assertAlmostEqual(float(low["depressurization_pa"]),
                               one["house"]["depressurisation_pa"], places=9)

    def test_what_only_the_reader_knows_goes_through_the_text(self):
        got = ductledger.Layout(text()).airflow(**{"site.elevation": [0.0, 2000.0]})
        for elevation, airflow in zip((0, 2000), got):
            edited = text().replace("site: {", f"site: {{elevation: {elevation} m, ")
            one = ductledger.check(edited)["speeds"][0]["operating_point"]["airflow_m3_s"]
            self.assertEqual(airflow, one)

    def test_wrong_places_and_values_raise(self):
        layout = ductledger.Layout(text())
        for name, values, said in [("run.pieces[1].lenght", 1.0, "did you mean `length`?"),
                                   ("run.pieces[9].length", 1.0, "has 4 items"),
                                   ("run.pieces[0].length", 1.0, "count from 1"),
                                   ("run.pieces[1].length", [1.0, -2.0], "with `run.pieces[1].length` at -2 m"),
                                   ("run.pieces[1].length", [1.0, numpy.nan], "is no number")]:
            with self.assertRaises(ductledger.Error) as caught:
                layout.airflow(**{name: values})
            self.assertIn(said, str(caught.exception))
        got = layout.airflow(errors="nan", **{"run.pieces[1].length": [1.0, -2.0]})
        self.assertTrue(numpy.isfinite(got[0]) and numpy.isnan(got[1]))
        with self.assertRaises(ValueError):
            layout.airflow(errors="hide")
        self.assertEqual(layout.airflow(**{"site.wind": numpy.empty(0)}).shape, (0,))

    def test_threads_of_python_may_share_a_layout(self):
        layout, out = ductledger.Layout(text()), {}

        def work(k):
            out[k] = layout.airflow(**{"run.pieces[1].length": numpy.linspace(0.5, 9, 2000)})

        threads = [threading.Thread(target=work, args=(k,)) for k in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        for k in range(1, 4):
            numpy.testing.assert_array_equal(out[k], out[0])

    def test_docstrings_and_hints_cover_everything(self):
        hints = (SOURCE / "app/python/ductledger/_ductledger.pyi").read_text(encoding="utf-8")
        for name in ductledger.__all__:
            if name != "__version__":
                self.assertTrue(inspect.getdoc(getattr(ductledger, name)), name)
                self.assertRegex(hints, rf"(def|class) {name}\b")
        for name in ("airflow", "points"):
            self.assertIn("[m3/s]", inspect.getdoc(getattr(ductledger.Layout, name)))
            self.assertIn(f"def {name}(", hints)

    def test_the_page_of_the_docs_runs(self):
        page = (SOURCE / "docs/python.md").read_text(encoding="utf-8")
        (block,) = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run([sys.executable, "-B", "-c", block], cwd=SOURCE, check=False,
                                  capture_output=True, text=True, env=None)
            self.assertEqual(done.returncode, 0, done.stderr + folder)


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0]])
