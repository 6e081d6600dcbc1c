"""Draws slakeline-256.png, the same shapes as slakeline.svg, with nothing but Python's own library: python3 draw.py"""
import math
import pathlib
import struct
import zlib

SIZE, FINE = 256, 4
PAPER, DRY, WET, INK, LEAF = (0xF6, 0xF4, 0xEE), (0xE3, 0xD9, 0xB8), (0x0F, 0x5A, 0x7A), (0x21, 0x30, 0x2A), (0x4E, 0x8F, 0x45)


def rounded(x, y):
    dx, dy = max(60 - x, x - 196, 0), max(60 - y, y - 196, 0)
    return math.hypot(dx, dy) <= 52


def leaf(x, y, cx, cy, degrees):
    a = math.radians(degrees)
    u, v = (x - cx) * math.cos(a) + (y - cy) * math.sin(a), -(x - cx) * math.sin(a) + (y - cy) * math.cos(a)
    return (u / 32) ** 2 + (v / 13) ** 2 <= 1


def colour(x, y):
    if leaf(x, y, 98, 58, 18) or leaf(x, y, 158, 46, -18) or (123 <= x <= 133 and 52 <= y < 92):
        return LEAF
    outer, inner = 41.5 <= x <= 214.5 and 91.5 <= y <= 216.5, 50.5 <= x <= 205.5 and 100.5 <= y <= 207.5
    if outer and not inner:
        return INK
    if inner:
        return WET if y >= 160 - 8 * math.sin((x - 46) / 82 * math.pi) else DRY
    return PAPER if rounded(x, y) else None


rows = []
for py in range(SIZE):
    row = bytearray([0])
    for px in range(SIZE):
        parts = [colour(px + (i + 0.5) / FINE, py + (j + 0.5) / FINE) for i in range(FINE) for j in range(FINE)]
        seen = [p for p in parts if p]
        n = len(seen)
        row += bytes([round(sum(p[k] for p in seen) / n) if n else 0 for k in range(3)] + [round(255 * n / FINE**2)])
    rows.append(bytes(row))


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


png = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", SIZE, SIZE, 8, 6, 0, 0, 0))
png += chunk(b"IDAT", zlib.compress(b"".join(rows), 9)) + chunk(b"IEND", b"")
pathlib.Path(__file__).with_name("slakeline-256.png").write_bytes(png)
