"""How the phone page holds up: python tests/bench/page.py [PHOTO.jpg]

Opens the page as its command does and, from this process, sends it 20 photos at once, each from a phone of its own and
then all from one: none may be lost. Then times one photo of 12 megapixels from the start of its upload to the whole of
the page with its verdict, against `flows.identify` on the same file, warm; at most 1.5 times as long is right. Without
PHOTO.jpg it is a sample part, enlarged.
"""

from __future__ import annotations

import re
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import cv2
import httpx2
from photographs import say
from served import served

from idkit import flows

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
AT_ONCE, TIMES = 20, 7
LARGE = (4000, 3000)


def main(arguments: list[str]) -> int:
    """Print what was lost and how long it took; 1 where either is not right."""
    with tempfile.TemporaryDirectory() as folder:
        photo = Path(arguments[0]) if arguments else _enlarged(Path(folder, "valve.jpg"))
        with served(Path(folder, "home")) as link:
            lost = _many(link, phones=AT_ONCE) + _many(link, phones=1)
            page = _timed(link, photo)
        bare = _bare(photo)
        size = photo.stat().st_size / 1e6
    say(f"a photo of {size:.1f} MB: {page:.2f} s by the page, {bare:.2f} s by flows.identify")
    say(f"{page / bare:.2f} times as long; right is at most 1.50")
    return int(lost > 0 or page > 1.5 * bare)


def _many(link: str, phones: int) -> int:
    """Send photos at once; how many parts have no verdict afterwards, or one of another photo."""
    clients = [httpx2.Client(base_url=link, follow_redirects=True, timeout=120) for _ in range(phones)]
    tokens = [_token(client) for client in clients]
    names = sorted(path.name for path in SAMPLES.glob("*.jpg"))
    started = time.perf_counter()

    def one(number: int) -> bool:
        client, name = clients[number % phones], names[number % len(names)]
        text = _sent(client, tokens[number % phones], SAMPLES / name)
        return f"<h1>{Path(name).stem}</h1>" in text and "Could be" in text

    with ThreadPoolExecutor(AT_ONCE) as pool:
        fine = list(pool.map(one, range(AT_ONCE)))
    lost = AT_ONCE - sum(fine)
    say(f"{AT_ONCE} photos at once from {phones} phones: {lost} lost, {time.perf_counter() - started:.1f} s")
    return lost


def _sent(client: httpx2.Client, token: str, photo: Path) -> str:
    """The page with the verdict on a photo that is sent now, its place in line waited for."""
    answer = client.post("/part", data={"token": token}, files={"photo": (photo.name, photo.read_bytes())})
    while "<h1>In line</h1>" in answer.text:
        answer = client.get(answer.url.path)
    return answer.raise_for_status().text


def _timed(link: str, photo: Path) -> float:
    """Median seconds from upload to verdict; each time as a new part, with one to warm up."""
    with httpx2.Client(base_url=link, follow_redirects=True, timeout=120) as client:
        token = _token(client)
        return _median(lambda: _sent(client, token, photo))


def _bare(photo: Path) -> float:
    return _median(lambda: flows.identify([photo], {}))


def _median(what: Callable[[], object]) -> float:
    spent = []
    for _ in range(TIMES + 2):
        started = time.perf_counter()
        what()
        spent.append(time.perf_counter() - started)
    return statistics.median(spent[2:])  # the first two find both workers cold


def _token(client: httpx2.Client) -> str:
    found = re.search(r'name="token" value="([^"]+)"', client.get("/").text)
    assert found is not None
    return found[1]


def _enlarged(path: Path) -> Path:
    picture = cv2.imread(str(SAMPLES / "angle-valve.jpg"))
    cv2.imwrite(str(path), cv2.resize(picture, LARGE, interpolation=cv2.INTER_CUBIC), [cv2.IMWRITE_JPEG_QUALITY, 95])
    return path


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
