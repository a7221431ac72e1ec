"""What a student does in an attempt, by the hand that is given: every act goes through the page as it stands."""

import re

from playwright.sync_api import expect

from tests.factories import PASSWORD
from tests.tray_fields import as_sent

SOUGHT = re.compile("Saved|Answered")
PICKED = (
    *("size", "taper", "push", "precurve_per_mm", "brush", "solution", "needle_mm", "file"),
    *("agent", "material", "method", "gauged"),
)


class Work:
    """A student at one page of an attempt."""

    def __init__(self, page, hand):
        self.page, self.hand = page, hand

    # Ways in -----------------------------------------------------------

    def sign_in(self, name):
        self.page.goto("/")
        self.hand.write(self.page.get_by_label("Account name"), name)
        self.hand.write(self.page.get_by_label("Password"), PASSWORD)
        self.hand.press(self.page.locator("main").get_by_role("button", name="Sign in"))
        expect(self.page.get_by_role("heading", name="Your work")).to_be_visible()

    def start(self, title):
        self.hand.press(self.page.get_by_role("link", name="Cases", exact=True))
        self.hand.press(self.page.get_by_role("link", name=title))
        self.hand.press(self.page.get_by_role("button", name="Start this case"))
        self.is_at("Look")

    def is_at(self, stage):
        expect(self.page.get_by_role("heading", level=1, name=re.compile(rf"^{stage}: "))).to_be_visible()

    def commit(self, stage, then):
        self.hand.press(self.page.get_by_role("link", name="Go on to commit"))
        self.hand.press(self.page.get_by_role("button", name=f"Commit {stage} for good"))
        self.is_at(then)

    # Look --------------------------------------------------------------

    def ask(self, letter):
        entry = self.page.locator("#findings li", has=self.page.locator(f'input[name="finding"][value="{letter}"]'))
        self.hand.press(entry.get_by_role("button"))
        expect(self.page.locator(f"#finding-{letter}")).to_be_visible()

    def expose(self, tube, reason):
        form = self.page.get_by_role("form", name="Take a further film")
        self.hand.pick(form.locator(f'input[name="tube"][value="{tube}"]'))
        self.hand.write(form.get_by_role("textbox"), reason)
        self.hand.press(form.get_by_role("button", name="Expose"))
        expect(self.page.get_by_role("navigation", name="Films").get_by_role("link")).to_have_count(2)

    def take_up_film(self, number):
        link = self.page.get_by_role("navigation", name="Films").get_by_role("link").nth(number - 1)
        self.hand.press(link)
        expect(link).to_have_attribute("aria-current", "page")
        self.film_is_ready()

    def film_is_ready(self):
        expect(self.page.locator("film-viewer").get_by_text("Film ready")).to_be_visible()

    # Answers -----------------------------------------------------------

    def form(self, task):
        return self.page.locator("form", has=self.page.locator(f'input[name="task"][value="{task}"]'))

    def answer(self, event):
        """Give the answer that a log's event has, as far as the page asks for it, and save it."""
        form = self.form(event["task"])
        if form.locator("put-in-order").count():
            for value in event["values"]:
                place = form.locator("li", has=self.page.locator(f'select[name="place-{value}"]'))
                self.hand.press(place.locator(".order-tap"))
        else:
            for value in event.get("values", ()):
                self._pick(form, "values", value)
        if "of" in event and form.locator('input[name="of"]').count():
            self._pick(form, "of", event["of"])
        if form.locator('input[name="film"][type="radio"]').count():
            self._pick(form, "film", event["film"])
        if "value" in event:
            self.hand.write(form.locator('input[name="value"]'), f"{event['value']:g}")
        self._finish(form, event)

    def write(self, event):
        """A reason in words, which takes no confidence."""
        form = self.form(event["task"])
        self.hand.write(form.get_by_role("textbox"), event["text"])
        self.hand.press(form.get_by_role("button", name="Save"))
        expect(form.locator(".saved")).to_have_text(SOUGHT)

    def outline(self, event):
        """An outline by its numbers; drawing it has tests of its own."""
        form = self.form(event["task"])
        self.hand.press(form.get_by_text("As numbers"))
        places = "\n".join(f"{right:g} {down:g}" for right, down in event["outline_mm"])
        form.locator('textarea[name="outline"]').fill(places)
        self._finish(form, event)

    def level(self, event):
        form = self.form(event["task"])
        factor = self.page.locator("details.factor", has=form)
        if factor.count() and factor.get_attribute("open") is None:
            self.hand.press(factor.locator("summary").first)
        self._pick(form, "level", event["level"])
        for pin in event["evidence"]:
            self._pick(form, "evidence", pin)
        self._finish(form, event)

    def take_mark(self, event):
        """The mark last set on the film becomes the answer."""
        form = self.form(event["task"])
        self.hand.press(form.get_by_role("button", name="Take the mark last set"))
        self._finish(form, event)

    def _pick(self, form, name, value):
        self.hand.pick(form.locator(f'input[name="{name}"][value="{value}"]'))

    def _finish(self, form, event):
        self._pick(form, "confidence", event["confidence"])
        self.hand.press(form.get_by_role("button", name=re.compile("^Save")))
        expect(form.locator(".saved")).to_have_text(SOUGHT)

    # Bench -------------------------------------------------------------

    def move(self, canal, move):
        """One move, by the tray; the log of the page grows by it."""
        self._take_canal(canal)
        made = self.page.locator("#log tbody tr").count()
        form = self.page.locator("form", has=self.page.locator(f'input[name="kind"][value="{move["kind"]}"]'))
        box = self.page.locator("details.tool-box", has=form)
        if box.get_attribute("open") is None:
            self.hand.press(box.locator("summary"))
        for name, value in as_sent(move).items():
            field = form.locator(f'input[name="{name}"]')
            if name not in PICKED:
                if field.input_value() != value:
                    self.hand.write(field, value)
            elif field.first.get_attribute("type") == "checkbox":
                self.hand.pick(field)
            elif field.first.get_attribute("type") == "radio":  # a tool of one size has nothing to pick
                self._pick(form, name, value)
        self.hand.press(form.get_by_role("button", name=re.compile("^Make the move")))
        expect(self.page.locator("#log tbody tr")).to_have_count(made + 1)

    def _take_canal(self, canal):
        link = self.page.locator("#canals").get_by_role("link").filter(has_text=re.compile(rf"^\s*{canal}\b"))
        if link.get_attribute("aria-current") is None:
            self.hand.press(link)
            expect(link).to_have_attribute("aria-current", "true")

    # Compare -----------------------------------------------------------

    def estimate(self, percents, then="Agreement by stage"):
        for stage, percent in percents.items():
            self.hand.write(self.page.locator(f'input[name="{stage}"]'), str(percent))
        self.hand.press(self.page.get_by_role("button", name="Store my estimate and show the result"))
        expect(self.page.get_by_role("heading", name=then)).to_be_visible()

    def mark_own(self, event):
        for line in event["met"]:
            self._pick(self.page.locator("main"), f"met-{event['task']}", line)
        self.hand.press(self.page.get_by_role("button", name="Store my marks and show the result"))
        expect(self.page.get_by_role("heading", name="Agreement by stage")).to_be_visible()
