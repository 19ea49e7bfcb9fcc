"""Serves a store for the tests of the browser: STORE PORT [CERTIFICATE KEY]."""

from __future__ import annotations

import sys

from dipmark.faces.web.serve import Serving, listening, run_server

if __name__ == "__main__":
    store, port, *files = sys.argv[1:]
    server, key = files or (None, None)
    serving = Serving(store=store, port=int(port), server=server, key=key, press="dipmark.faces.paper.press:press")
    run_server(serving, listening(serving))
