"""A gauge of the data as the physics sees it."""

from __future__ import annotations

from yokebook.data.gauges import Gauge
from yokebook.physics.gauges import AsRead, ClassError, Dial, FixedError, FoundError, PossibleError, ShareError
from yokebook.quantities import GaugePa


def dial(gauge: Gauge) -> Dial:
    """Return the dial of a gauge, Pa."""
    return Dial(gauge.span.low.pa, gauge.span.high.pa, stopped=gauge.zero == "stop")


def stated_error(gauge: Gauge) -> PossibleError | None:
    """Return the possible error that a gauge's accuracy states; None where the accuracy is unknown."""
    accuracy = gauge.accuracy
    if accuracy is None:
        return None
    if accuracy.accuracy_class is not None:
        return ClassError(dial(gauge), float(accuracy.accuracy_class))
    if accuracy.plus_minus is not None:
        return FixedError(dial(gauge), accuracy.plus_minus.pa)
    of_span, of_reading = (share.fraction if share else 0.0 for share in (accuracy.of_span, accuracy.of_reading))
    return ShareError(dial(gauge), of_span, of_reading)


def possible_error(gauge: Gauge) -> PossibleError | None:
    """Return how far a gauge may be out: what it states, and what its last check found; None where that is unknown."""
    stated = stated_error(gauge)
    if stated is None or gauge.found_error is None:
        return stated
    return FoundError(stated, gauge.found_error.pa)


def error_as_read(gauge: Gauge) -> PossibleError | None:
    """Return how far the truth may lie from what somebody reads: what the gauge may be out, and half a mark.

    None where the gauge's accuracy is unknown.
    """
    error = possible_error(gauge)
    return AsRead(error, dial(gauge), gauge.interval.pa) if error else None


def nearest_reading(gauge: Gauge, pressure: GaugePa) -> GaugePa:
    """Return the reading of a gauge, Pa, that lies nearest to a pressure, Pa, and still says something."""
    face = dial(gauge)
    return GaugePa(min(max(pressure, face.lowest_reading), face.high))
