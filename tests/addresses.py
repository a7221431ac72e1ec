"""Every address of the site, read from the URL table itself."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver


def addresses() -> dict[str, frozenset[str]]:
    """Names of the site's addresses, each with the names of its parameters. An address without a name is an error."""
    found: dict[str, frozenset[str]] = {}
    for name, parameters in _walk(get_resolver(), "", frozenset()):
        assert name not in found, f"two addresses are called {name!r}: give one another name"
        found[name] = parameters
    return found


def _walk(resolver: URLResolver, space: str, above: frozenset[str]) -> Iterator[tuple[str, frozenset[str]]]:
    for entry in resolver.url_patterns:
        parameters = above | set(entry.pattern.converters)
        if isinstance(entry, URLResolver):
            inner = f"{space}{entry.namespace}:" if entry.namespace else space
            yield from _walk(entry, inner, parameters)
        else:
            assert isinstance(entry, URLPattern)
            assert entry.name, f"the address {entry.pattern} has no name: give it one, so that it can be looked after"
            yield f"{space}{entry.name}", parameters
