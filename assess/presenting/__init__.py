"""What a page of an attempt shows, from the document, the state and the rubric's wording.

Before the case is settled nothing here looks at a reference, a weight or an author's key: only `comparing` and
`overlaying` do, which are called for settled attempts alone, and `keying`, which is called for those who teach alone.
"""
