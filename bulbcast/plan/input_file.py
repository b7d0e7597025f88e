"""Record of an input file, other than the plan, that was used to calculate a result."""

from __future__ import annotations

from bulbcast.quantities.frozen import frozen


@frozen
class InputFile:
    """A file that a plan names.

    Attributes:
        key: Key that names it, such as "boat.hull".
        path: Path, as typed in the plan.
        sha256: SHA-256 of its bytes, in hexadecimal.
    """

    key: str
    path: str
    sha256: str
