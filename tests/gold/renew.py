"""Makes today's pictures the gold ones: `python -m tests.gold.renew [NAME…]`. Look before committing."""

import sys

from tests.gold.compare import FOLDER
from tests.gold.scenes import SCENES


def main() -> None:
    for name in sys.argv[1:] or SCENES:
        path = FOLDER / f"{name}.png"
        path.write_bytes(SCENES[name]())
        print(f"{path.name}: {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
