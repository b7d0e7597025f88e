"""The file bulb.step: the finished bulb for CAD, made by an optional kernel and checked against the quadrature.

STEP is written and read back by the same family of kernels, so the quadrature is the independent check. Agreement
within 2e-5 is required; the difference found was 1e-7.
"""

from __future__ import annotations

import numpy as np

from bulbcast.bundle.bundle import BundleFile
from bulbcast.disk.refusals import ReadBackError, StepMissingError
from bulbcast.job import Job

VOLUME_BOUND = 2e-5
"""Maximum relative difference allowed between the solid as read back and the quadrature."""

_CENTRE_BOUND = 2e-6
_INSTALL = "pip install 'bulbcast[step]'"


def require_kernel() -> None:
    """Check that the CAD kernel is installed, before any work is done.

    Raises:
        StepMissingError: The kernel is not installed.
    """
    try:
        import OCP.STEPControl  # noqa: F401
    except ImportError:
        raise StepMissingError(
            f"A STEP file needs the optional CAD kernel, which is not installed. Run {_INSTALL}, or omit --step. Nothing "
            "was written."
        ) from None


def step_file(job: Job) -> BundleFile:
    """Make the STEP file of the finished bulb, and read it back.

    Args:
        job: The results.

    Raises:
        StepMissingError: The kernel is not installed.
        ReadBackError: The solid as read back does not match the bulb.
    """
    require_kernel()
    from bulbcast.bundle.cad import bulb_shape, read_step, step_bytes

    content = step_bytes(bulb_shape(job), job.plan.name)
    volume, centre = read_step(content)
    net = job.bulb.net_lead
    if not abs(volume - net.volume) <= VOLUME_BOUND * net.volume:
        raise ReadBackError(
            f"bulb.step failed the read-back: its volume is {volume:.9g} m3, but {net.volume:.9g} m3 by quadrature. "
            "Nothing was written. Please report this with the plan. Until this is fixed, omit --step."
        )
    wanted = np.array([net.moment_x, 0.0, net.moment_z]) / net.volume
    if not np.all(np.abs(centre - wanted) <= _CENTRE_BOUND + 2e-5 * job.bulb.body.length):
        raise ReadBackError(
            f"bulb.step failed the read-back: its mass centre is {centre} m, but {wanted} m by quadrature. Nothing was "
            "written. Please report this with the plan. Until this is fixed, omit --step."
        )
    return BundleFile(
        path="bulb.step",
        kind="bulb solid",
        content=content,
        volume=volume,
        mass_centre=(float(centre[0]), float(centre[1]), float(centre[2])),
    )
