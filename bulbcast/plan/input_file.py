"""A file besides the plan that a result was made from."""

from __future__ import annotations

from bulbcast.quantities.frozen import frozen


@frozen
class InputFile:
    """A file that a plan names.

    Attributes:
        key: That names it, such as "boat.hull".
        path: As typed.
        sha256: Of its bytes, in hexadecimal.
    """

    key: str
    path: str
    sha256: str
