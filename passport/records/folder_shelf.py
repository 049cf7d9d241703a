"""Files kept by their hash in the home folder: whole or not at all, never written over."""

from dataclasses import dataclass
from pathlib import Path

from passport.records import files
from passport.records.errors import PhotoUnknown
from passport.records.shelf import Shelf, hash_of, is_name, name_of


@dataclass(frozen=True)
class FolderShelf(Shelf):
    """A folder of files by hash: ``ab/cdef….jpg`` is the file whose hash begins with abcdef."""

    home: Path
    name: str

    @property
    def folder(self) -> Path:
        """Where the files stand."""
        return self.home / self.name

    def keep(self, content: bytes) -> str:
        """Keep a file and return its hash; a file that is already kept is left as it is."""
        digest = files.sha256(content)
        path = self.folder / name_of(digest, files.ending_of(content))
        with files.explained(self.home):
            if not path.exists():
                self._make_folder(path.parent)
                files.write_whole(path, content)
        return digest

    def names(self) -> tuple[str, ...]:
        """Name all kept files, in the order of their hashes."""
        found = self.folder.glob("[0-9a-f][0-9a-f]/[0-9a-f]*.*")
        return tuple(sorted(one.relative_to(self.folder).as_posix() for one in found))

    def altered(self) -> tuple[str, ...]:
        """Name the kept files whose bytes no longer give their hash."""
        return tuple(one for one in self.names() if files.sha256(self.read(one)) != hash_of(one))

    def find(self, digest: str) -> str | None:
        """Name the file with a hash; None when there is none."""
        found = (self.folder / digest[:2]).glob(f"{digest[2:]}.*") if digest else ()
        return next((one.relative_to(self.folder).as_posix() for one in sorted(found)), None)

    def path(self, digest: str) -> Path:
        """Find where the file with a hash stands."""
        return self._place(self.find(digest) or name_of(digest, ""))

    def read(self, name: str) -> bytes:
        """Fetch a file by its name."""
        return self._place(name).read_bytes()

    def remove(self, name: str) -> None:
        """Remove a file for good; one that is gone already is no error."""
        files.remove(self.folder / name)

    def _place(self, name: str) -> Path:
        path = self.folder / name
        if not is_name(name) or not path.is_file():
            raise PhotoUnknown(hash_of(name), str(self.folder))
        return path

    def _make_folder(self, folder: Path) -> None:
        for one in (self.folder, folder):
            if not one.exists():
                one.mkdir(exist_ok=True)
                files.flush_folder(one.parent)
