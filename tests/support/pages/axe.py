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


def violations(page, places, script, kinds=()):
    """Return what axe-core finds in all places of a selector: the rule, and the element.

    `kinds` are tags of rules, if not all are asked. To ask for many places at once costs little
    more than for one: axe-core goes through the whole page first.
    """
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(script)
    wanted = {"resultTypes": ["violations"]} | ({"runOnly": list(kinds)} if kinds else {})
    found = page.evaluate("([places, wanted]) => axe.run(places, wanted)", [places, wanted])
    assert len(found["passes"]) > (0 if kinds else 5), "axe-core has looked at nothing"
    return [
        f"{rule['id']}: {node['html'][:200]}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]
