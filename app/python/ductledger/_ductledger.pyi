import os
from typing import Any

import numpy
import numpy.typing

__version__: str

class Error(Exception):
    """Why nothing could be calculated; its text is what the terminal would show."""

    diagnostics: list[dict[str, Any]]

def check(
    layout: str | os.PathLike[str], *, speed: str = "", advise: bool = False
) -> dict[str, Any]: ...
def review(layout: str | os.PathLike[str], *, rules: str = "") -> dict[str, Any]: ...
def size(
    layout: str | os.PathLike[str],
    *,
    deliver_m3_s: float | None = None,
    within_pa: float | None = None,
    max_depth_m: float | None = None,
    max_velocity_m_s: float | None = None,
    speed: str = "",
) -> dict[str, Any]: ...

class Layout:
    title: str
    def __init__(self, layout: str | os.PathLike[str]) -> None: ...
    def airflow(
        self,
        *,
        speed: str = "",
        errors: str = "raise",
        **places: numpy.typing.ArrayLike,
    ) -> numpy.typing.NDArray[numpy.float64]: ...
    def points(
        self,
        *,
        speed: str = "",
        errors: str = "raise",
        **places: numpy.typing.ArrayLike,
    ) -> dict[str, numpy.typing.NDArray[numpy.float64]]: ...
