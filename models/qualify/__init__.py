"""Whether what lies on the shelf may serve a need, and with which words: the catalog's judgements on stored items."""
