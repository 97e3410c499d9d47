"""The commands, from the program itself."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple, get_args, get_origin, get_type_hints

from typer.models import ArgumentInfo, OptionInfo

from haymow.cli import app

from .markdown import link, page, table

__all__ = ["Command", "Word", "commands", "documented"]

ABOUT = """\
`haymow COMMAND --help` says the same. Exit codes: 0 done, 1 something was found that needs a look,
2 something could not be used as it was given, which is one sentence. Progress goes to the error
channel, answers to the output, so that `--json` can be read by a program."""


class Word(NamedTuple):
    """One argument or option of a command."""

    shown: str
    help: str
    must: bool
    default: str


class Command(NamedTuple):
    """A command: its name, what it does, an example, its words."""

    name: str
    about: str
    example: str
    words: list[Word]


def commands() -> str:
    """docs/commands.md."""
    found = documented()
    contents = "\n".join(f"- {link(f'`haymow {c.name}`', heading=f'haymow {c.name}')}: "
                         f"{c.about.splitlines()[0]}" for c in found)
    return page("Commands", ABOUT, contents, *map(_entry, found))


def documented() -> list[Command]:
    """All commands, in the order in which ``haymow --help`` lists them."""
    found = []
    groups = [("", app), *((f"{g.name} ", g.typer_instance) for g in app.registered_groups)]
    listed = [(name, info) for name, of in groups if of for info in of.registered_commands]
    for group, info in listed:
        assert info.callback is not None
        said = inspect.cleandoc(info.help or info.callback.__doc__ or "")
        paragraphs = [" ".join(p.split()) for p in said.split("\n\n")]
        examples = [p.removeprefix("Example: ") for p in paragraphs if p.startswith("Example: ")]
        about = [p for p in paragraphs if not p.startswith("Example: ")]
        name = group + (info.name or info.callback.__name__.replace("_", "-"))
        found.append(Command(name, "\n\n".join(about), " ".join(examples),
                             list(_words(info.callback))))
    return found


def _words(callback: Callable[..., Any]) -> Iterator[Word]:
    hints = get_type_hints(callback, include_extras=True)
    for name, parameter in inspect.signature(callback).parameters.items():
        kind, told = _told(hints[name])
        default = parameter.default
        must = default is inspect.Parameter.empty
        many = get_origin(_bare(kind)) is list
        if isinstance(told, ArgumentInfo):
            shown = name.upper() + ("..." if many else "")
        else:
            # in Annotated the first word that typer is told stands where its default would
            told_names = (getattr(told, "default", None), *(getattr(told, "param_decls", ()) or ()))
            flags = [d for d in told_names if isinstance(d, str) and d.startswith("-")]
            shown = ", ".join(flags or ["--" + name.replace("_", "-")])
            shown += "" if _bare(kind) is bool else f" {_kind(kind)}"
        text = "" if must or default in (None, False, "") else str(default)
        yield Word(shown, told.help or "" if told else "", must, text)


def _told(hint: Any) -> tuple[Any, ArgumentInfo | OptionInfo | None]:
    """The type of a parameter, and what typer is told about it."""
    parts = get_args(hint)
    told = [part for part in parts[1:] if isinstance(part, ArgumentInfo | OptionInfo)]
    return (parts[0], told[0]) if told else (hint, None)


def _bare(kind: Any) -> Any:
    """A type without its ``| None``."""
    return next((part for part in get_args(kind) if part is not type(None)), kind) \
        if type(None) in get_args(kind) else kind


def _kind(kind: Any) -> str:
    bare = _bare(kind)
    return {"int": "NUMBER", "float": "NUMBER", "Path": "PATH"}.get(
        getattr(bare, "__name__", ""), "TEXT")


def _entry(command: Command) -> str:
    rows = [(f"`{word.shown}`", word.help, "must be given" if word.must else word.default)
            for word in command.words]
    parts = [f"## haymow {command.name}", command.about]
    if command.example:
        parts.append(f"```\n{command.example}\n```")
    if rows:
        parts.append(table(("Word", "What it is", "If left out"), rows))
    return "\n\n".join(parts)
