"""The program's own server, for whoever waits an hour before each look at the clock: `DATA PORT`."""

import itertools
import sys
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

from app.services.clock import local_now
from app.services.site import open_site
from app.settings import Settings
from app.web.application import create_application
from app.web.server import listen, serve


def main(data: Path, port: int) -> None:
    """Serve a site until somebody kills it."""
    began, hours = local_now(), itertools.count()

    def patient() -> datetime:
        return began + timedelta(hours=next(hours))

    with closing(open_site(data, clock=patient)) as site, listen("127.0.0.1", port) as listener:
        application = create_application(site, Settings(data, "127.0.0.1", port, practice=False))
        serve(application, listener, site.listeners.close)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
