"""Delivered airflow of exhaust duct runs, from Python.  SI throughout.

    import ductledger
    result = ductledger.check("kitchen.yaml")          # the document `ductledger.check/1` as a dict
    layout = ductledger.Layout("kitchen.yaml")
    airflow = layout.airflow(**{"run.pieces[3].length": numpy.linspace(0.5, 12, 100)})   # m3/s

A text with a line end is a layout itself, anything else the path of one.  What is wrong with a
layout is raised as `ductledger.Error`, whose `diagnostics` hold each fault with its place.
This is a calculation, no permit: local code and the authority having jurisdiction decide.
"""

from ._ductledger import Error, Layout, __version__, check, review, size

__all__ = ["Error", "Layout", "check", "review", "size", "__version__"]
