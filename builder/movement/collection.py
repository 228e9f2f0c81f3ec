"""What the whole site says of itself: models/collection.toml."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from builder.ground.part import Listed, Name, Part, Slug

WebAddress = Annotated[
    str, Field(pattern=r"^https?://[^\s\"'<>]+$", max_length=300, title="an address beginning with https:// or http://")
]


class Licence(Part):
    """Under what terms text and drawings may be used; whoever publishes the site decides."""

    name: Name
    """The licence's name."""
    address: WebAddress
    """Where its text is to be read."""


Language = Annotated[str, Field(pattern=r"^[a-z]{2}(-[A-Z]{2})?$", title="two letters of a language, as in en or en-GB")]


class Collection(Part):
    """Title, publisher and licence of the site."""

    title: Name
    """Title of the site's first page."""
    publisher: Name
    """Who publishes it."""
    language: Language = "en"
    """Language of the wording, as in templates/wording."""
    licence: Licence
    """The licence of the site's text and drawings."""
    base_url: WebAddress | None = None
    """The address that the site will have; without it no sitemap and no canonical links are written."""
    order: Annotated[Listed[Slug], Field(max_length=1000)] = ()
    """Movements (folder names) in the order of the shelf; others follow by name."""
