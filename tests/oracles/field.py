"""Positions, the sun's times, codes and Wi-Fi texts, by libraries from the registry that nobody here wrote.

One JSON object a line in, one out. {"ask": "position", "lat", "lon"} (pygeodesy: the Krueger series; mgrs: GEOTRANS),
{"ask": "read", "mgrs"} (pygeodesy), {"ask": "sun", "lat", "lon", "start"} (astral, moments as unix seconds, null where
it does not happen within the day), {"ask": "code", "svg"} (zxing-cpp reads the picture), {"ask": "wifi", "name",
"secret"} (segno writes the text).
"""

import datetime
import json
import re
import sys

import mgrs
import numpy
import zxingcpp
from astral import Observer, sun
from pygeodesy import parseMGRS, toMgrs, toUtm8
from segno.helpers import make_wifi_data

GEOTRANS = mgrs.MGRS()
DAY = 86_400


def position(asked):
    lat, lon = asked["lat"], asked["lon"]
    utm = toUtm8(lat, lon)
    grid = toMgrs(utm)
    return {
        "zone": utm.zone,
        "north": utm.hemisphere == "N",
        "easting": utm.easting,
        "northing": utm.northing,
        "square": f"{grid.zone}{grid.band} {grid.en100k}",
        "geotrans": GEOTRANS.toMGRS(lat, lon, MGRSPrecision=5).lstrip("0"),
    }


def read(asked):
    place = parseMGRS(asked["mgrs"]).toLatLon(center=True)
    return {"lat": place.lat, "lon": place.lon}


def moment(ask, observer, start):
    first = datetime.datetime.fromtimestamp(start, datetime.timezone.utc).date()
    for days in (-1, 0, 1, 2):
        try:
            at = ask(observer, first + datetime.timedelta(days=days)).timestamp()
        except ValueError:
            continue
        if start <= at < start + DAY:
            return at
    return None


def sun_times(asked):
    observer = Observer(asked["lat"], asked["lon"])
    utc = datetime.timezone.utc
    asks = {
        "dawn": lambda who, day: sun.dawn(who, day, depression=6, tzinfo=utc),
        "sunrise": lambda who, day: sun.sunrise(who, day, tzinfo=utc),
        "sunset": lambda who, day: sun.sunset(who, day, tzinfo=utc),
        "dusk": lambda who, day: sun.dusk(who, day, depression=6, tzinfo=utc),
    }
    return {name: moment(ask, observer, asked["start"]) for name, ask in asks.items()}


def code(asked):
    svg = asked["svg"]
    wide = int(re.search(r' width="(\d+)"', svg).group(1))
    image = numpy.full((wide, wide), 255, numpy.uint8)
    for left, top, width, height in re.findall(r"M(\d+) (\d+)h(\d+)v(\d+)", svg):
        left, top, width, height = int(left), int(top), int(width), int(height)
        image[top : top + height, left : left + width] = 0
    found = zxingcpp.read_barcodes(image)
    return {"texts": [one.text for one in found], "formats": [str(one.format) for one in found]}


def wifi(asked):
    return {"text": make_wifi_data(asked["name"], asked["secret"], "WPA")}


ANSWERS = {"position": position, "read": read, "sun": sun_times, "code": code, "wifi": wifi}
for line in sys.stdin:
    asked = json.loads(line)
    print(json.dumps(ANSWERS[asked["ask"]](asked)))
