"""How a student works a page: with the mouse, or with the keyboard alone. Both have the same three acts."""

MOST_TABS = 300
WHERE = """(target) => {
  const now = document.activeElement;
  if (now === target) return 'here';
  const radios = now.type === 'radio' && target.type === 'radio';
  if (radios && now.name === target.name && now.form === target.form) return 'in its group';
  return now.compareDocumentPosition(target) & Node.DOCUMENT_POSITION_FOLLOWING ? 'before' : 'after';
}"""


class Mouse:
    """Clicks, and types where text is asked for."""

    def __init__(self, page):
        self.page = page

    def press(self, target):
        target.click()

    def pick(self, target):
        """A radio button or a checkbox, chosen if it is not."""
        target.check()

    def write(self, target, text):
        target.click()
        target.fill(text)


class Keyboard:
    """Tab and Shift Tab, arrows, Enter, Space and typing; nothing is clicked and nothing is focused by script."""

    def __init__(self, page):
        self.page = page
        self.keys = page.keyboard

    def press(self, target):
        self.go_to(target)
        self.keys.press("Enter")

    def pick(self, target):
        if target.is_checked():
            return
        if self.go_to(target) == "in its group":
            self._arrow_to(target)
        if not target.is_checked():
            self.keys.press("Space")

    def write(self, target, text):
        self.go_to(target)
        self.keys.press("Control+A")
        self.keys.type(text)

    def go_to(self, target):
        """Tab to an element, or to its group of radio buttons, which is one stop."""
        for _ in range(MOST_TABS):
            where = target.evaluate(WHERE)
            if where in ("here", "in its group"):
                return where
            self.keys.press("Tab" if where == "before" else "Shift+Tab")
        raise AssertionError(f"{MOST_TABS} presses of Tab do not reach {target}")

    def _arrow_to(self, target):
        for _ in range(MOST_TABS):
            if target.evaluate(WHERE) == "here":
                return
            self.keys.press("ArrowDown")
        raise AssertionError(f"the arrows do not reach {target}")
