"""What a browser complains of, heard in every context of a test."""

from contextlib import contextmanager


class Watch:
    """Console messages and page errors; a breach of the content security policy is one of the messages."""

    def __init__(self):
        self.heard = []

    def listen(self, context):
        context.on("console", lambda message: self.heard.append(f"{message.type}: {message.text}"))
        context.on("weberror", lambda error: self.heard.append(f"page error: {error.error}"))

    @contextmanager
    def expecting(self, page, *parts):
        """Something a test brings about on purpose: one message for each part, which it contains, and no other."""
        before = len(self.heard)
        yield
        page.evaluate("1")  # messages that are under way arrive before the answer
        said, self.heard = self.heard[before:], self.heard[:before]
        assert len(said) == len(parts), said
        assert all(part in one for part, one in zip(parts, said, strict=True)), said
