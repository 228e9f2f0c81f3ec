"""What printing a page wants besides what it tells of: made once, for all pages of a collection."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from jinja2 import Environment

from builder.ground.faults import Complaint
from builder.ground.project import TEMPLATES
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.movement.reading import read
from builder.pages.embed import Outfit, outfit
from builder.pages.glossary import Glossary
from builder.pages.render import environment, render
from builder.pages.shown import Context


@dataclass(frozen=True)
class Press:
    """Collection, templates and wording, and what is made of these alone."""

    collection: Collection
    templates: Path
    wording: Wording

    @classmethod
    def of(cls, collection: Collection, templates: Path) -> Press:
        """With the wording of the collection's language."""
        return cls(collection, templates, Wording.load(templates / "wording" / collection.language))

    @cached_property
    def env(self) -> Environment:
        """The templates."""
        return environment(self.templates, self.wording)

    @cached_property
    def frame(self) -> Context:
        """What every page is given."""
        collection = self.collection
        return {
            "lang": collection.language,
            "site_name": self.wording.say("site.name"),
            "publisher": collection.publisher,
            "licence": {"name": collection.licence.name, "href": collection.licence.address},
            "words": self.wording["site.frame"],
            "base_url": collection.base_url,
        }

    @cached_property
    def wear(self) -> Outfit:
        """What every drawing takes along."""
        return outfit(self.templates, self.frame)

    @cached_property
    def glossary(self) -> Glossary:
        """The trade's words."""
        return Glossary.of(self.wording)

    @property
    def chapters(self) -> Path:
        """Where the texts of the chapters lie."""
        return self.templates / "wording" / self.collection.language / "chapters"

    def page(self, path: str, template: str, **context: object) -> dict[str, bytes]:
        """One page of the site with its frame, under its path."""
        root = "../" * path.count("/")
        return {path: render(self.env, template, **{**self.frame, "root": root, "path": path, "power_path": [], **context})}


def press_of(models: Path) -> Press:
    """One for all movements of a collection. Raises FaultsFound with what is wrong with the collection's file."""
    return _press(read(models / "collection.toml", Collection, models, _spoken), TEMPLATES)


@lru_cache(maxsize=1)
def _press(collection: Collection, templates: Path) -> Press:
    return Press.of(collection, templates)


def _spoken(collection: Collection) -> list[Complaint]:
    """A language is one that there is wording for."""
    there = sorted(path.name for path in (TEMPLATES / "wording").iterdir() if path.is_dir())
    if collection.language in there:
        return []
    advice = "Write one of these, or add the folder with the wording."
    return [Complaint(("language",), collection.language, f"one of: {', '.join(there)}", advice)]
