"""What a preview shows that a published site never does."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from string import Template

from stepstop.problems import Problem
from stepstop.report import as_text

_PAGE = Template("""\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="robots" content="noindex">
<meta name="color-scheme" content="light dark">
<title>$title</title>
<style>
body { font: 1rem/1.5 system-ui, sans-serif; margin: 1rem auto; max-width: 60rem; padding: 0 1rem }
pre { border-inline-start: .25rem solid; overflow-x: auto; padding: .5rem 1rem }
</style>
</head>
<body>
<h1>$title</h1>
<p>No question page is shown until they are mended. Mend, save, and this page goes away.</p>
$problems
</body>
</html>
""")


def problem_page(problems: Sequence[Problem]) -> bytes:
    """A page that shows `problems` as `stepstop verify` does, with the lines as they are now."""
    shown = [f"<pre>{html.escape(as_text([problem]))}</pre>" for problem in problems]
    title = f"{len(problems)} problem{'s' * (len(problems) != 1)} to mend"
    return _PAGE.substitute(title=title, problems="\n".join(shown)).encode()


_POLICY = re.compile(
    rb"""(<meta\s+http-equiv=["']?Content-Security-Policy["']?\s+content=)"([^"]*)\"""", re.I
)


def relaxed(page: bytes) -> bytes:
    """`page` with a policy under which the preview's own reload script may run and connect."""
    return _POLICY.sub(lambda match: match[1] + b'"' + _opened(match[2]) + b'"', page)


def _opened(policy: bytes) -> bytes:
    rules = [rule.strip() for rule in policy.split(b";")]
    opened = (b"script-src", b"script-src-elem", b"connect-src")
    kept = [rule for rule in rules if rule and rule.split()[0].lower() not in opened]
    return b"; ".join([*kept, b"script-src 'unsafe-inline'", b"connect-src 'self'"])
