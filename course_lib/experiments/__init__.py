"""Many runs, and how sure their mean is."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "sweeps": ["sweep", "sweep_buffers"],
        "repeated_runs": ["sweep_seeds"],
        "intervals": ["Band", "confidence_band", "student_t", "wilson_interval"],
    },
)
