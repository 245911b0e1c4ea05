"""axe-core, which looks for what shuts people out of a page; a package of npm, run in the page."""

import subprocess

WANTED = "axe-core/axe.min.js"


def find_axe(need):
    """Return axe-core's script; skip the test where it is not installed, and say how it comes."""
    node = need("node", "apt-get install nodejs npm")
    asked = subprocess.run(
        [node, "-p", f"require('fs').readFileSync(require.resolve('{WANTED}'), 'utf8')"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if asked.returncode:
        need("axe-core", "npm install -g axe-core, and NODE_PATH set to what `npm root -g` says")
    return asked.stdout


def violations(figure, script):
    """Return what axe-core finds in a figure: the rule, and the element that breaks it."""
    if not figure.page.evaluate("typeof axe === 'object'"):
        figure.page.evaluate(script)
    found = figure.root.evaluate("root => axe.run(root, {resultTypes: ['violations']})")
    assert len(found["passes"]) > 5, "axe-core has looked at nothing"
    return [
        f"{rule['id']}: {node['html'][:200]}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]
