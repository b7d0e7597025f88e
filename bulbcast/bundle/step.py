"""bulb.step: the finished lead for CAD, by an optional kernel, checked against the quadrature before it counts as
written.

STEP is written and read back by one family of kernels; the independent check is the quadrature (2e-5 required, 1e-7
found).
"""

from __future__ import annotations

import numpy as np

from bulbcast.bundle.bundle import BundleFile
from bulbcast.disk.refusals import ReadBackError, StepMissingError
from bulbcast.job import Job

VOLUME_BOUND = 2e-5
"""Largest relative difference between the solid as read back and the quadrature."""

_CENTRE_BOUND = 2e-6
_INSTALL = "pip install 'bulbcast[step]'"


def require_kernel() -> None:
    """Checks that the CAD kernel is installed, before any work is done.

    Raises:
        StepMissingError: It is not installed.
    """
    try:
        import OCP.STEPControl  # noqa: F401
    except ImportError:
        raise StepMissingError(
            "A STEP file needs the optional CAD kernel, which is not installed. "
            f"Run {_INSTALL}, or leave --step out; nothing was written."
        ) from None


def step_file(job: Job) -> BundleFile:
    """The finished bulb as STEP, read back.

    Args:
        job: The results.

    Raises:
        StepMissingError: The kernel is not installed.
        ReadBackError: What was read back is not the bulb.
    """
    require_kernel()
    from bulbcast.bundle.cad import bulb_shape, read_step, step_bytes

    content = step_bytes(bulb_shape(job), job.plan.name)
    volume, centre = read_step(content)
    net = job.bulb.net_lead
    if not abs(volume - net.volume) <= VOLUME_BOUND * net.volume:
        raise ReadBackError(
            f"bulb.step failed the read-back: its volume is {volume:.9g} m3 and {net.volume:.9g} m3 by "
            "quadrature. Nothing was written. Please report the plan; leave --step out meanwhile."
        )
    wanted = np.array([net.moment_x, 0.0, net.moment_z]) / net.volume
    if not np.all(np.abs(centre - wanted) <= _CENTRE_BOUND + 2e-5 * job.bulb.body.length):
        raise ReadBackError(
            f"bulb.step failed the read-back: its mass centre is {centre} m and {wanted} m by quadrature. "
            "Nothing was written. Please report the plan; leave --step out meanwhile."
        )
    return BundleFile(
        path="bulb.step",
        kind="bulb solid",
        content=content,
        volume=volume,
        mass_centre=(float(centre[0]), float(centre[1]), float(centre[2])),
    )
