"""What printing a page wants besides what it tells of: made once, for all pages of a collection."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from jinja2 import Environment

from builder.ground.wording import Wording
from builder.movement.collection import Collection
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
