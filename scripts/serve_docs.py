"""Serves docs/ on this machine only, each page as a browser shows it. Ends with Ctrl-C."""

from __future__ import annotations

from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Final

from markdown_it import MarkdownIt

DOCS: Final = Path(__file__).resolve().parents[1] / "docs"
PORT: Final = 8050
HEAD: Final = (
    '<!doctype html><meta charset="utf-8"><title>dipmark</title><style>body{max-width:60rem;margin:2rem auto;'
    "padding:0 1rem;font:1rem/1.5 system-ui}td,th{border:1px solid #999;padding:.2rem .5rem;text-align:left}"
    "table{border-collapse:collapse}pre{background:#eee;padding:.5rem;overflow:auto}</style>"
)


class Pages(SimpleHTTPRequestHandler):
    """The files of docs/, Markdown turned into HTML."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, directory=str(DOCS), **kwargs)  # type: ignore[arg-type]  # passed on as they come

    def do_GET(self) -> None:
        wanted = Path(self.translate_path(self.path))
        wanted = wanted / "README.md" if wanted.is_dir() else wanted
        if wanted.suffix != ".md" or not wanted.is_file():
            super().do_GET()
            return
        body = (HEAD + MarkdownIt("commonmark").enable("table").render(wanted.read_text("utf-8"))).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


if __name__ == "__main__":
    with ThreadingHTTPServer(("127.0.0.1", PORT), Pages) as server:
        print(f"docs/ is at http://127.0.0.1:{PORT}/ on this machine; Ctrl-C ends it")
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            print()
