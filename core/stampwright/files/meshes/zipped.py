"""ZIP archives whose entries share pieces, each of which is packed once.

The standard library packs every entry anew; but packing is half of what writing takes, and the same part is in two
files of a stamp. A piece is packed so that it may stand anywhere in an entry: it ends on a whole byte and refers to
nothing before it (RFC 1951, section 3.2.4; zlib's full flush). Archives follow APPNOTE 6.3.3 (PKWARE), without a time
of day.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from zipfile import ZipInfo

from ...errors import OutputError

PACKING = 4
"""Of 9: twice as fast as the usual 6, for a file hardly larger."""

_MOST = 2**32 - 1  # bytes of an entry, or of all: beyond, another form of archive is needed
_LOCAL = 30  # bytes before the name of an entry
_TOLD = 64  # bytes by which a piece is found
_DAY = 0x21  # the first of January 1980, where the format's calendar begins
_UNIX = 3
_MODE = 0o100644 << 16


@dataclass(frozen=True, eq=False)
class PackedPiece:
    """A piece of an entry: its bytes as they are, and packed."""

    plain: bytes
    packed: bytes


def piece_of(plain: bytes, packing: int = PACKING) -> PackedPiece:
    """Return bytes as a piece; ``packing``: how hard to look for repetitions, 1 to 9."""
    packer = zlib.compressobj(packing, zlib.DEFLATED, -zlib.MAX_WBITS)
    return PackedPiece(plain, packer.compress(plain) + packer.flush(zlib.Z_FULL_FLUSH))


def one_piece(*pieces: PackedPiece) -> PackedPiece:
    """Return pieces that follow each other as one."""
    return PackedPiece(b"".join(each.plain for each in pieces), b"".join(each.packed for each in pieces))


def zipped(entries: Iterable[tuple[str, Sequence[PackedPiece]]]) -> bytes:
    """Return an archive of entries, by name, in their order, each of pieces that follow each other.

    Raises :class:`~stampwright.errors.OutputError` when it would be larger than 4 GB.
    """
    archive, directory, count = bytearray(), bytearray(), 0
    end = zlib.compressobj(PACKING, zlib.DEFLATED, -zlib.MAX_WBITS).flush()
    for name, pieces in entries:
        checksum, size = 0, 0
        for piece in pieces:
            checksum, size = zlib.crc32(piece.plain, checksum), size + len(piece.plain)
        packed = b"".join((*(piece.packed for piece in pieces), end))
        if size > _MOST or len(archive) + len(packed) > _MOST:
            raise OutputError("the parts take more than 4 GB as 3MF; simplify the artwork")
        written = name.encode("ascii")
        about = struct.pack("<5H3L2H", 20, 0, zlib.DEFLATED, 0, _DAY, checksum, len(packed), size, len(written), 0)
        place = struct.pack("<3H2L", 0, 0, 0, _MODE, len(archive))
        directory += b"PK\x01\x02" + struct.pack("<2B", 20, _UNIX) + about + place + written
        archive += b"PK\x03\x04" + about + written + packed
        count += 1
    tail = struct.pack("<4H2LH", 0, 0, count, count, len(directory), len(archive), 0)
    return bytes(archive + directory + b"PK\x05\x06" + tail)


def unzipped(
    archive: bytes, entry: ZipInfo, pieces: Iterable[PackedPiece], tried: Container[PackedPiece]
) -> list[PackedPiece | bytes] | None:
    """Return what an entry of an archive holds, in order: the pieces that are found in it, and what is between them.

    A piece that is found is packed byte for byte as it was; those not ``tried`` before are unpacked to see that they
    hold what they should. None when anything is otherwise than in archives written here, such as a wrong checksum.
    """
    name, extra = struct.unpack_from("<2H", archive, entry.header_offset + _LOCAL - 4)
    begin = entry.header_offset + _LOCAL + name + extra
    packed = archive[begin : begin + entry.compress_size]
    unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
    parts: list[PackedPiece | bytes] = []
    done, checksum, size = 0, 0, 0
    try:
        for at, piece in sorted(
            ((packed.find(piece.packed[:_TOLD]), piece) for piece in pieces), key=lambda two: two[0]
        ):
            if at < done or not packed.startswith(piece.packed, at):
                continue
            if piece not in tried and zlib.decompressobj(-zlib.MAX_WBITS).decompress(piece.packed) != piece.plain:
                return None
            parts += [unpacker.decompress(packed[done:at], entry.file_size + 1), piece]
            done = at + len(piece.packed)
        parts.append(unpacker.decompress(packed[done:], entry.file_size + 1))
    except zlib.error:
        return None
    for part in parts:
        plain = part if isinstance(part, bytes) else part.plain
        checksum, size = zlib.crc32(plain, checksum), size + len(plain)
    whole = unpacker.eof and not unpacker.unused_data and not unpacker.unconsumed_tail
    return parts if whole and (checksum, size) == (entry.CRC, entry.file_size) else None
