"""The watch hears what it is there for: without this, a silent test would prove nothing."""

REFUSED = "document.body.appendChild(Object.assign(document.createElement('script'), { textContent: '1' }))"
BROKEN = "setTimeout(() => { throw new Error('a fault of the page') })"


def test_a_script_that_the_content_rules_refuse_is_heard(new_page, watch):
    page = new_page()
    page.goto("/")
    with watch.expecting(page, "Content Security Policy"):
        page.evaluate(REFUSED)


def test_words_on_the_console_and_a_fault_of_the_page_are_heard(new_page, watch):
    page = new_page()
    page.goto("/")
    with watch.expecting(page, "log: a word", "a fault of the page"):
        page.evaluate("console.log('a word')")
        page.evaluate(BROKEN)
        page.wait_for_timeout(50)
