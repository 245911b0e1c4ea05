"""Ask for memory before it is needed, as routers in software do.

A processor waits for memory that is not in its cache: some 100 ns, which is nearly as long as all
other work on a packet takes. Who knows what will be needed soon can ask for it in good time, and go
on with something else. That changes no value, so in plain Python there is nothing to do.
"""

__all__ = ["fetch"]

from typing import Any

from course_lib.queueing.records import LINE_OCTETS

_TO_READ, _EVERY_CACHE, _DATA = 0, 3, 1  # what LLVM's instruction `prefetch` is told


def fetch(records: Any, place: int) -> None:
    """Ask for the first two lines of a record. The place must be one that there is."""


def _machine_form() -> Any:
    """Return what stands for `fetch` in compiled code: LLVM's `prefetch`, once for each line."""
    from llvmlite import ir  # type: ignore[import-untyped]
    from numba import types  # not at the top: loading it takes most of a second
    from numba.core import cgutils
    from numba.extending import intrinsic

    tools: Any = cgutils
    octet, number = ir.IntType(8).as_pointer(), ir.IntType(32)
    kind = ir.FunctionType(ir.VoidType(), [octet, number, number, number])
    how = [number(value) for value in (_TO_READ, _EVERY_CACHE, _DATA)]

    @intrinsic
    def fetch(context: Any, records: Any, place: Any) -> Any:
        size = records.dtype.size

        def generate(target: Any, builder: Any, signature: Any, given: Any) -> Any:
            row = tools.create_struct_proxy(signature.args[0])(target, builder, value=given[0])
            record = builder.gep(row.data, [given[1]])
            ask = tools.get_or_insert_function(builder.module, kind, "llvm.prefetch.p0")
            for octets in range(0, min(size, 2 * LINE_OCTETS), LINE_OCTETS):
                line = builder.gep(builder.bitcast(record, octet), [number(octets)])
                builder.call(ask, [line, *how])
            return target.get_dummy_value()

        return types.void(records, place), generate

    return fetch


fetch.machine_form = _machine_form  # type: ignore[attr-defined]
