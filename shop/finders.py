"""Static files that come out of installed packages: the typefaces, as `fonts/<file>`."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage

from shop.fonts import font_files

PREFIX = "fonts/"


class _Folder(FileSystemStorage):
    """One package's font folder, shown below `fonts/`."""

    prefix = "fonts"


class FontFinder(BaseFinder):
    """Finds the faces of `shop.fonts`, and no other file of their packages."""

    def check(self, **kwargs: Any) -> list:
        return []

    def find(self, path: str, find_all: bool = False, **kwargs: Any) -> Any:
        all_ = find_all or kwargs.get("all", False)  # "all" is the name before Django 5.2
        name = path.replace("\\", "/")
        file = font_files().get(name[len(PREFIX) :]) if name.startswith(PREFIX) else None
        if file is None:
            return []
        return [str(file)] if all_ else str(file)

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[tuple[str, _Folder]]:
        folders: dict[Path, _Folder] = {}
        for name, file in font_files().items():
            if file.parent not in folders:
                folders[file.parent] = _Folder(location=str(file.parent))
            yield name, folders[file.parent]
