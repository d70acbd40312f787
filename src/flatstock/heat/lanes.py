"""Several columns in one number: a compiled type of WIDTH doubles that the processor works on at once.

`Lanes` stands wherever a kernel has a floating-point number, `Mask` where it has a truth; both go through ordinary
arithmetic, so the same laws are compiled for one column and for WIDTH of them side by side. What can't be a branch
once the columns differ is written with `select`, `any_of` and `all_of`, which mean the same for a single number.
An array of shape (…, WIDTH) is seen as one of Lanes by `in_lanes`.
"""

from __future__ import annotations

import math
import operator
from typing import Any

import flatstock.heat.compiling  # isort: skip  # noqa: F401  (before numba, whose cache folder it sets)
from llvmlite import ir
from numba import config, types
from numba.core import cgutils
from numba.core.typeconv.castgraph import Conversion
from numba.core.typing.templates import AbstractTemplate, infer_global, signature
from numba.extending import intrinsic, lower_builtin, lower_cast, models, register_model

__all__ = ["NODE", "WIDTH", "all_of", "any_of", "in_lanes", "nodes_of", "select", "shared", "whole"]

#: columns side by side: two vectors of AVX2, of which one is worked on while the other is waited for
WIDTH = 8


class LanesType(types.Type):
    """WIDTH doubles."""

    def __init__(self) -> None:
        super().__init__(name=f"lanes{WIDTH}")

    def unify(self, typingctx: Any, other: Any) -> Any:
        """With a plain number: the number in every lane."""
        return self if isinstance(other, types.Float | types.Integer) else None

    def can_convert_from(self, typingctx: Any, other: Any) -> Any:
        """From a plain number."""
        return Conversion.safe if isinstance(other, types.Float | types.Integer) else None


class MaskType(types.Type):
    """WIDTH truths."""

    def __init__(self) -> None:
        super().__init__(name=f"mask{WIDTH}")

    def unify(self, typingctx: Any, other: Any) -> Any:
        """With a plain truth."""
        return self if isinstance(other, types.Boolean) else None

    def can_convert_from(self, typingctx: Any, other: Any) -> Any:
        """From a plain truth."""
        return Conversion.safe if isinstance(other, types.Boolean) else None


lanes = LanesType()
mask = MaskType()
_DOUBLES = ir.VectorType(ir.DoubleType(), WIDTH)
_TRUTHS = ir.VectorType(ir.IntType(1), WIDTH)
_INDEX = ir.IntType(32)


@register_model(LanesType)
class _LanesModel(models.PrimitiveModel):
    def __init__(self, dmm: Any, fe_type: Any) -> None:
        super().__init__(dmm, fe_type, _DOUBLES)


@register_model(MaskType)
class _MaskModel(models.PrimitiveModel):
    def __init__(self, dmm: Any, fe_type: Any) -> None:
        super().__init__(dmm, fe_type, _TRUTHS)


def _spread(builder: Any, value: Any, vector: Any) -> Any:
    """The same value in every lane."""
    first = builder.insert_element(ir.Constant(vector, ir.Undefined), value, ir.Constant(_INDEX, 0))
    none = ir.Constant(ir.VectorType(_INDEX, WIDTH), [0] * WIDTH)
    return builder.shuffle_vector(first, ir.Constant(vector, ir.Undefined), none)


@lower_cast(types.Float, lanes)
@lower_cast(types.Integer, lanes)
def _number_to_lanes(context: Any, builder: Any, fromty: Any, toty: Any, value: Any) -> Any:
    return _spread(builder, context.cast(builder, value, fromty, types.float64), _DOUBLES)


@lower_cast(types.Boolean, mask)
def _truth_to_mask(context: Any, builder: Any, fromty: Any, toty: Any, value: Any) -> Any:
    if value.type != ir.IntType(1):
        value = builder.trunc(value, ir.IntType(1))
    return _spread(builder, value, _TRUTHS)


def _numbers(args: Any) -> bool:
    """Whether these are Lanes, perhaps with plain numbers among them."""
    return lanes in args and all(a == lanes or isinstance(a, types.Float | types.Integer) for a in args)


def _typed(operation: Any, result: Any, count: int) -> None:
    class Template(AbstractTemplate):
        def generic(self, args: Any, kws: Any) -> Any:
            if len(args) == count and not kws and _numbers(args):
                return signature(result, *[lanes] * count)
            return None

    infer_global(operation)(Template)


def _lowered(operation: Any, count: int, build: Any) -> None:
    @lower_builtin(operation, *[lanes] * count)
    def _(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return build(builder, *args)


def _called(name: str) -> Any:
    """A function of LLVM's, lane by lane where the processor has none for all."""

    def build(builder: Any, *args: Any) -> Any:
        function = cgutils.get_or_insert_function(
            builder.module, ir.FunctionType(_DOUBLES, [_DOUBLES] * len(args)), f"llvm.{name}.v{WIDTH}f64"
        )
        return builder.call(function, args)

    return build


def _one_by_one(name: str) -> Any:
    """A function of the mathematical library on each lane in turn."""

    def build(builder: Any, *args: Any) -> Any:
        double = ir.DoubleType()
        function = cgutils.get_or_insert_function(
            builder.module, ir.FunctionType(double, [double] * len(args)), f"llvm.{name}.f64"
        )
        found = ir.Constant(_DOUBLES, ir.Undefined)
        for lane in range(WIDTH):
            at = ir.Constant(_INDEX, lane)
            one = builder.call(function, [builder.extract_element(a, at) for a in args])
            found = builder.insert_element(found, one, at)
        return found

    return build


_ARITHMETIC = {
    operator.add: lambda b, x, y: b.fadd(x, y),
    operator.sub: lambda b, x, y: b.fsub(x, y),
    operator.mul: lambda b, x, y: b.fmul(x, y),
    operator.truediv: lambda b, x, y: b.fdiv(x, y),
    operator.iadd: lambda b, x, y: b.fadd(x, y),
    operator.isub: lambda b, x, y: b.fsub(x, y),
    operator.imul: lambda b, x, y: b.fmul(x, y),
    operator.itruediv: lambda b, x, y: b.fdiv(x, y),
    operator.pow: _one_by_one("pow"),
    min: lambda b, x, y: b.select(b.fcmp_ordered("<", y, x), y, x),
    max: lambda b, x, y: b.select(b.fcmp_ordered(">", y, x), y, x),
}
_OF_ONE = {
    operator.neg: lambda b, x: b.fneg(x),
    abs: _called("fabs"),
    math.sqrt: _called("sqrt"),
    math.log: _one_by_one("log"),
    math.exp: _one_by_one("exp"),
}
_COMPARED = {
    operator.lt: "<",
    operator.le: "<=",
    operator.gt: ">",
    operator.ge: ">=",
    operator.eq: "==",
}


def _compare(sign: str) -> Any:
    return lambda b, x, y: b.fcmp_ordered(sign, x, y)


for _operation, _build in _ARITHMETIC.items():
    _typed(_operation, lanes, 2)
    _lowered(_operation, 2, _build)
for _operation, _build in _OF_ONE.items():
    _typed(_operation, lanes, 1)
    _lowered(_operation, 1, _build)
for _operation, _sign in _COMPARED.items():
    _typed(_operation, mask, 2)
    _lowered(_operation, 2, _compare(_sign))


class _OfMasks(AbstractTemplate):
    def generic(self, args: Any, kws: Any) -> Any:
        if mask in args and all(a == mask or isinstance(a, types.Boolean) for a in args):
            return signature(mask, *[mask] * len(args))
        return None


for _operation in (operator.and_, operator.or_):
    infer_global(_operation)(type("_OfMasks", (_OfMasks,), {}))


@lower_builtin(operator.and_, mask, mask)
def _both(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    return builder.and_(*args)


@lower_builtin(operator.or_, mask, mask)
def _either(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    return builder.or_(*args)


def _word(plain: Any) -> Any:
    """What kernels know and Python doesn't; `plain`: what stands for it where kernels are run uncompiled."""

    def keep(built: Any) -> Any:
        return plain if config.DISABLE_JIT else intrinsic(built)  # type: ignore[attr-defined]

    return keep


@_word(lambda truth, yes, no: yes if truth else no)
def select(typingctx: Any, truth: Any, yes: Any, no: Any) -> Any:
    """`yes` where `truth` holds, else `no`, lane by lane."""
    several = lanes in (yes, no) or truth == mask
    result = lanes if several else types.float64
    condition = mask if truth == mask else types.boolean

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return builder.select(*args)

    return result(condition, result, result), build


def _gathered(builder: Any, truths: Any, sign: str, wanted: int) -> Any:
    bits = builder.bitcast(truths, ir.IntType(WIDTH))
    return builder.icmp_unsigned(sign, bits, ir.Constant(ir.IntType(WIDTH), wanted))


@_word(bool)
def any_of(typingctx: Any, truth: Any) -> Any:
    """Whether it holds in any lane."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return args[0] if truth != mask else _gathered(builder, args[0], "!=", 0)

    return types.boolean(truth), build


@_word(bool)
def all_of(typingctx: Any, truth: Any) -> Any:
    """Whether it holds in every lane."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return args[0] if truth != mask else _gathered(builder, args[0], "==", 2**WIDTH - 1)

    return types.boolean(truth), build


@_word(float)
def shared(typingctx: Any, value: Any) -> Any:
    """A number that is the same in every lane."""

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        return args[0] if value != lanes else builder.extract_element(args[0], ir.Constant(_INDEX, 0))

    return types.float64(value), build


@_word(math.floor)
def whole(typingctx: Any, value: Any) -> Any:
    """The largest whole number that is not above it, as a floating-point number."""
    kind, name = (lanes, f"v{WIDTH}f64") if value == lanes else (types.float64, "f64")

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        of = context.get_value_type(kind)
        function = cgutils.get_or_insert_function(
            builder.module, ir.FunctionType(of, [of]), f"llvm.floor.{name}"
        )
        return builder.call(function, args)

    return kind(kind), build


def _needs_compiler(array: Any) -> Any:
    """Stands for `in_lanes` where nothing is compiled. Raises `RuntimeError`."""
    raise RuntimeError("columns are marched side by side by compiled kernels alone: NUMBA_DISABLE_JIT is set")


@_word(_needs_compiler)
def in_lanes(typingctx: Any, array: Any) -> Any:
    """An array (…, WIDTH) seen as one of Lanes with an axis less; the array must outlive it."""
    seen = types.Array(lanes, array.ndim - 1, "C", aligned=False)

    def build(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        of = context.make_array(array)(context, builder, args[0])
        view = context.make_array(seen)(context, builder)
        size = ir.Constant(context.get_value_type(types.intp), 8 * WIDTH)
        shape = cgutils.unpack_tuple(builder, of.shape)[:-1]
        steps = cgutils.unpack_tuple(builder, of.strides)[:-1]
        context.populate_array(
            view,
            data=builder.bitcast(of.data, view.data.type),
            shape=cgutils.pack_array(builder, shape),
            strides=cgutils.pack_array(builder, steps),
            itemsize=size,
            meminfo=None,
            parent=None,
        )
        return view._getvalue()

    return seen(array), build


def _transposed(builder: Any, rows: Any) -> Any:
    """Four vectors of four, columns of the square that `rows` are."""
    four = ir.VectorType(_INDEX, 4)

    def mixed(a: Any, b: Any, places: list[int]) -> Any:
        return builder.shuffle_vector(a, b, ir.Constant(four, places))

    low = [mixed(rows[i], rows[i + 1], [0, 4, 2, 6]) for i in (0, 2)]
    high = [mixed(rows[i], rows[i + 1], [1, 5, 3, 7]) for i in (0, 2)]
    return [
        mixed(pair[0], pair[1], places) for places in ([0, 1, 4, 5], [2, 3, 6, 7]) for pair in (low, high)
    ]


def _joined(builder: Any, parts: Any) -> Any:
    """Vectors one behind the other; a power of two of them."""
    while len(parts) > 1:
        size = 2 * parts[0].type.count
        places = ir.Constant(ir.VectorType(_INDEX, size), list(range(size)))
        parts = [builder.shuffle_vector(a, b, places) for a, b in zip(parts[::2], parts[1::2], strict=True)]
    return parts[0]


NODE = 12  #: numbers at a node of a table, in three fours


@_word(lambda table, place: tuple(table[int(place)]))
def nodes_of(typingctx: Any, table: Any, place: Any) -> Any:
    """The NODE numbers at the node that `place` lies behind: of a table (nodes, NODE), or of one a lane.

    `place` must be that of a node.
    """
    kind = lanes if place == lanes else types.float64
    result = types.UniTuple(kind, NODE)

    def of_lanes(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        of = context.make_array(table)(context, builder, args[0])
        node = builder.fptosi(args[1], ir.VectorType(_INDEX, WIDTH))
        by_lane, by_node, _ = cgutils.unpack_tuple(builder, of.strides)
        fours = ir.VectorType(ir.DoubleType(), 4)
        byte = ir.IntType(8).as_pointer()
        start = builder.bitcast(of.data, byte)
        found: list[list[Any]] = [[] for _ in range(NODE)]
        rows = []
        for lane in range(WIDTH):
            here = builder.sext(builder.extract_element(node, ir.Constant(_INDEX, lane)), by_node.type)
            offset = builder.add(
                builder.mul(here, by_node), builder.mul(ir.Constant(by_lane.type, lane), by_lane)
            )
            rows.append(builder.bitcast(builder.gep(start, [offset]), fours.as_pointer()))
        for four in range(NODE // 4):
            for group in range(0, WIDTH, 4):
                loaded = []
                for row in rows[group : group + 4]:
                    one = builder.load(builder.gep(row, [ir.Constant(_INDEX, four)]))
                    one.align = 8
                    loaded.append(one)
                for i, column in enumerate(_transposed(builder, loaded)):
                    found[4 * four + i].append(column)
        return context.make_tuple(builder, result, [_joined(builder, parts) for parts in found])

    def of_one(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        of = context.make_array(table)(context, builder, args[0])
        node = builder.fptosi(args[1], ir.IntType(64))
        base = builder.mul(node, ir.Constant(ir.IntType(64), NODE))
        values = [
            builder.load(builder.gep(of.data, [builder.add(base, ir.Constant(ir.IntType(64), i))]))
            for i in range(NODE)
        ]
        return context.make_tuple(builder, result, values)

    return result(table, place), of_lanes if place == lanes else of_one
