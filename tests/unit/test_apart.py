"""What is put into a phrase keeps its own order, where the phrase runs from right to left."""

import pytest
from jinja2 import DictLoader, Environment

from stepstop.language.phrases import AtOnce
from stepstop.language.tongue import ENGLISH, Tongue

MIRRORED = Tongue("ar-XB", "x", "rtl", {"From {first} to {last}.": "{first} >> {last}."})
APART = "\u20681-2\u2069 >> \u2068(3) 4\u2069."


def test_values_put_into_a_phrase_are_isolated_from_right_to_left():
    given = {"first": "1-2", "last": "(3) 4"}
    assert MIRRORED.worded("From {first} to {last}.", **given) == APART
    assert ENGLISH.worded("From {first} to {last}.", **given) == "From 1-2 to (3) 4."


@pytest.mark.parametrize(
    ("tongue", "said"), [(MIRRORED, APART), (ENGLISH, "From 1-2 to (3) 4."), (None, "1-2 (3) 4")]
)
def test_so_are_they_in_a_template(tongue, said):
    text = "{% trans first=one, last=two %}From {{ first }} to {{ last }}.{% endtrans %}"
    env = Environment(loader=DictLoader({"x": text}), extensions=[AtOnce], autoescape=True)
    env.globals["worded"] = tongue.worded if tongue else lambda _: "{first} {last}"
    if tongue:
        env.globals["tongue"] = tongue
    assert env.get_template("x").render(one="1-2", two="(3) 4").replace("&gt;", ">") == said
