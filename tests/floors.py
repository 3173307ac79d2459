"""The laws of the house, held against source text: which room may import what, and where no float may stand.

`offences(module, source)` answers with one sentence for each law that a module breaks. It reads the text
only, so imports inside functions and under `if TYPE_CHECKING` count like all others.
"""

import ast
import importlib.util
import re
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["FLOORS", "offences"]

#: The rooms, ground first. A room imports only from rooms before it.
FLOORS = (
    "numbers",
    "working",
    "finding",
    "setting",
    "marking",
    "teaching",
    "publishing",
    "scanning",
    "records",
    "web",
    "cli",
)

#: What stands on the roof: the package's own face, and `python -m chalkpoint`.
ROOF = ("", "__main__")

#: Libraries that one room alone may know.
ONLY_IN = {
    "alembic": "records",
    "argon2": "records",
    "av": "publishing",
    "cyclopts": "cli",
    "espeakng_loader": "publishing",
    "http": "web",
    "openpyxl": "publishing",
    "multipart": "web",
    "pptx": "publishing",
    "psycopg": "records",
    "cv2": "scanning",
    "pypdfium2": "scanning",
    "sqlalchemy": "records",
    "sqlite3": "records",
    "starlette": "web",
    "typst": "publishing",
    "uvicorn": "web",
    "xlsxwriter": "publishing",
    "zxingcpp": "scanning",
}

#: Second opinions and test tools: what they check must not lean on them.
NEVER = frozenset(
    {
        "apytypes",
        "bitstring",
        "gfloat",
        "gmpy2",
        "hypothesis",
        "ml_dtypes",
        "mpmath",
        "playwright",
        "pytest",
        "second_road",
        "z3",
    }
)

#: Slow to import, and optional: only inside a function, so that the command starts at once without them.
ONLY_INSIDE_FUNCTIONS = frozenset({"numpy"})

#: Rooms that are nothing without such a library: they import it as any other, and are imported late themselves.
HEAVY_ROOMS = frozenset({"scanning"})

#: Rooms in which a value is an int or a Fraction and nothing else.
EXACT_ROOMS = frozenset({"numbers", "working"})

#: The functions of `math` that answer with whole numbers when given exact ones.
EXACT_MATH = frozenset({"ceil", "comb", "factorial", "floor", "gcd", "isqrt", "lcm", "perm", "prod", "trunc"})

#: The names under which an array library offers floats.
FLOAT_ARRAY = re.compile(r"float\d*|longdouble")


@dataclass(frozen=True, slots=True)
class Import:
    """One imported name: its full dotted *name*, its *line*, and whether it waits until a function runs."""

    name: str
    line: int
    inside_function: bool

    @property
    def library(self) -> str:
        """The first part of the name."""
        return self.name.partition(".")[0]


def offences(module: str, source: str, *, is_package: bool = False) -> list[str]:
    """Say in one sentence each how *module*, with this *source*, breaks the laws of the house.

    >>> offences("chalkpoint.numbers.bits", "from chalkpoint.working import rules")
    ['chalkpoint.numbers.bits:1 imports chalkpoint.working.rules, which is not below numbers']
    """
    room = _room(module)
    if room not in (*FLOORS, *ROOF):
        return [f"{module} is in no room of the house"]
    tree = ast.parse(source)
    package = module if is_package else module.rpartition(".")[0]
    found = [*_import_offences(room, tree, package)]
    if room in EXACT_ROOMS:
        found += _float_offences(tree)
    return [f"{module}:{line} {what}" for line, what in sorted(found)]


def _room(name: str) -> str:
    """Return the room of a dotted name of ours: "working" for "chalkpoint.working.rules"."""
    return name.partition(".")[2].partition(".")[0]


def _floor(room: str) -> int:
    """Return how high a room stands; what is no room (such as `chalkpoint.work`) is on the roof."""
    return FLOORS.index(room) if room in FLOORS else len(FLOORS)


def _import_offences(room: str, tree: ast.Module, package: str) -> Iterator[tuple[int, str]]:
    for found in _imports(tree, package):
        target = _room(found.name)
        if found.library == "chalkpoint":
            if target != room and _floor(target) >= _floor(room) and room in FLOORS:
                yield found.line, f"imports {found.name}, which is not below {room}"
            elif target in HEAVY_ROOMS and target != room and not found.inside_function:
                yield found.line, f"imports {found.name} outside a function"
        elif found.library in NEVER:
            yield found.line, f"imports {found.library}, which belongs to the tests"
        elif ONLY_IN.get(found.library, room) != room:
            yield found.line, f"imports {found.library}, which only {ONLY_IN[found.library]} may know"
        elif found.library in ONLY_INSIDE_FUNCTIONS and room not in HEAVY_ROOMS and not found.inside_function:
            yield found.line, f"imports {found.library} outside a function"


def _imports(tree: ast.Module, package: str) -> Iterator[Import]:
    for node, inside_function in _walk(tree, inside_function=False):
        for name in _imported_names(node, package):
            yield Import(name, getattr(node, "lineno", 0), inside_function)


def _walk(node: ast.AST, *, inside_function: bool) -> Iterator[tuple[ast.AST, bool]]:
    """Yield every node with whether it waits for a function to run; a type checker's branch always does."""
    for child in ast.iter_child_nodes(node):
        waits = inside_function or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        waits = waits or (isinstance(child, ast.If) and ast.unparse(child.test).endswith("TYPE_CHECKING"))
        yield child, waits
        yield from _walk(child, inside_function=waits)


def _imported_names(node: ast.AST, package: str) -> list[str]:
    match node:
        case ast.Import(names=names):
            return [alias.name for alias in names]
        case ast.ImportFrom(module=source, names=names, level=level):
            start = importlib.util.resolve_name("." * level + (source or ""), package)
            return [f"{start}.{alias.name}" for alias in names]
        case ast.Call(func=function, args=[ast.Constant(value=str(name)), *_]):
            return [name] if ast.unparse(function).endswith(("import_module", "__import__")) else []
    return []


def _float_offences(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.expr | ast.ImportFrom):
            for what in (*_float_from_call(node), *_float_from_name(node)):
                yield node.lineno, what


def _float_from_call(node: ast.AST) -> Iterator[str]:
    """Say which float a call makes; asking whether a value is a float, to refuse it, is allowed."""
    match node:
        case ast.Call(func=ast.Name(id="float")):
            yield "calls float()"
        case ast.Call(func=ast.Name(id="isinstance" | "issubclass")):
            return
        case ast.Call(func=function, args=arguments):
            if any(isinstance(argument, ast.Name) and argument.id == "float" for argument in arguments):
                yield f"hands float to {ast.unparse(function)}()"


def _float_from_name(node: ast.AST) -> Iterator[str]:
    """Say which float is written down, or named in `float`, `math` or an array library."""
    match node:
        case ast.Constant(value=float() | complex() as value):
            yield f"writes the float {value!r}"
        case ast.Attribute(value=ast.Name(id="float")):
            yield "uses a method of float"
        case ast.Attribute(value=ast.Name(id="math"), attr=name) if name not in EXACT_MATH:
            yield f"uses math.{name}, which is not exact"
        case ast.Attribute(attr=name) if FLOAT_ARRAY.fullmatch(name):
            yield f"uses {name}, an array of floats"
        case ast.ImportFrom(module="math", names=names):
            inexact = [alias.name for alias in names if alias.name not in EXACT_MATH]
            yield from (f"uses math.{name}, which is not exact" for name in inexact)
