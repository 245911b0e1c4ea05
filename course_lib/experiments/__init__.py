"""Many runs, and how sure their mean is.

* `sweeps` - many runs at a time, on all cores;
* `repeated_runs` - each of them several times, with other seeds;
* `intervals` - how sure a mean, or a share, of a few results is.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "sweeps": ["progress_bar", "sweep", "sweep_buffers"],
        "repeated_runs": ["sweep_seeds"],
        "intervals": ["Band", "confidence_band", "student_t", "wilson_interval"],
    },
)
