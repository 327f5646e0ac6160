"""Makes the photos of this folder with Pillow (python3-pil), which writes and turns
JPEG and Exif without any code of ours: one invented scene, stored in each of the
eight ways in which a camera may be held, progressive, in CMYK and in grey, with all
that tells where it was taken: Exif with a GPS directory and a thumbnail, XMP, IPTC,
a note, and a second picture behind the end.

Run it here: /usr/bin/python3 make_photos.py
"""
import io
import struct

from PIL import Image, ImageDraw, ImageOps
from PIL.TiffImagePlugin import IFDRational

MARK = "NORVANE-YARD"
UNTURN = {  # how the upright scene is stored, so that Pillow's own turn brings it back
    1: None, 2: Image.FLIP_LEFT_RIGHT, 3: Image.ROTATE_180, 4: Image.FLIP_TOP_BOTTOM,
    5: Image.TRANSPOSE, 6: Image.ROTATE_90, 7: Image.TRANSVERSE, 8: Image.ROTATE_270,
}


def scene(width, height):
    """Upright: red, green above, blue, white below."""
    picture = Image.new("RGB", (width, height), "gray")
    draw = ImageDraw.Draw(picture)
    for x, y, colour in [(0, 0, "red"), (1, 0, "lime"), (0, 1, "blue"), (1, 1, "white")]:
        draw.rectangle([x * width // 2, y * height // 2, (x + 1) * width // 2 - 1, (y + 1) * height // 2 - 1], fill=colour)
    return picture


def exif(turn):
    e = Image.Exif()
    e[0x0112] = turn
    e[0x010F], e[0x0110] = "Norvane", MARK + " camera"
    e[0x8825] = {
        0: b"\x02\x03\x00\x00", 1: "N", 2: (IFDRational(51), IFDRational(30), IFDRational(2717, 1000)),
        3: "W", 4: (IFDRational(0), IFDRational(7), IFDRational(3911, 1000)), 27: b"ASCII\0\0\0" + MARK.encode() + b" fix", 29: "2026:05:01",
    }
    return e


def segment(marker, payload):
    return struct.pack(">BBH", 0xFF, marker, len(payload) + 2) + payload


def beside():
    xmp = b'http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x="adobe:ns:meta/"><r exif:GPSLatitude="51,30.0453N" place="%s"/></x:xmpmeta>' % MARK.encode()
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\x00\x00\x00\x00\x00\x11\x1c\x02\x5a\x00\x0c" + MARK.encode()
    return segment(0xE1, xmp) + segment(0xED, iptc) + segment(0xE2, b"MPF\x00" + MARK.encode()) + segment(0xFE, MARK.encode())


def save(name, turn, size, mode="RGB", thumbnail=True, **how):
    upright = scene(*size)
    stored = upright if UNTURN[turn] is None else upright.transpose(UNTURN[turn])
    out = io.BytesIO()
    stored.convert(mode).save(out, "JPEG", quality=88, exif=exif(turn), **how)
    data = out.getvalue()
    # Behind the first segments of the camera; a second picture behind the end.
    at = 2
    while data[at + 1] in (0xE0, 0xE1, 0xEE):
        at += 2 + struct.unpack(">H", data[at + 2:at + 4])[0]
    data = data[:at] + beside() + data[at:]
    if thumbnail:
        small = io.BytesIO()
        stored.convert("RGB").resize((16, 12)).save(small, "JPEG", exif=exif(turn))
        data += small.getvalue()
    with open(name, "wb") as f:
        f.write(data)
    back = ImageOps.exif_transpose(Image.open(name)).convert("RGB")  # Pillow's word for it
    w, h = size
    assert back.size == size, (name, back.size)
    for x, y, colour in [(w // 4, h // 4, (255, 0, 0)), (3 * w // 4, h // 4, (0, 255, 0)), (w // 4, 3 * h // 4, (0, 0, 255)), (3 * w // 4, 3 * h // 4, (255, 255, 255))]:
        got = back.getpixel((x, y))
        if mode == "L":
            continue
        assert all(abs(a - b) < 12 for a, b in zip(got, colour)), (name, got, colour)
    gps = Image.open(name).getexif().get_ifd(0x8825)
    assert gps[1] == "N" and float(gps[2][0]) == 51.0, gps


for turn in range(1, 9):
    save("turn-%d.jpg" % turn, turn, (320, 240))
save("large-turn-6.jpg", 6, (3200, 2400))
save("large-progressive-turn-8.jpg", 8, (3200, 2400), progressive=True)
save("progressive-turn-3.jpg", 3, (320, 240), progressive=True)
save("cmyk-turn-6.jpg", 6, (320, 240), mode="CMYK")
save("cmyk-progressive-turn-5.jpg", 5, (320, 240), mode="CMYK", progressive=True)
save("grey-turn-6.jpg", 6, (320, 240), mode="L")
save("full-colour-turn-7.jpg", 7, (320, 240), subsampling=0)
