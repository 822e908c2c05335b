"""The app's style sheet, which keeps what it made for the named parts of a widget (a list's cursor, its headings).

Textual extracts those styles by a node of its own for each, made anew whenever the widget is styled: at every change of
the focus, of a class, of the size. A list has seven, each a hundred objects in a ring that only the cycle collector
takes; of all that random keys left behind, nine tenths were these.
"""

from __future__ import annotations

from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode


class KeptStyles(Stylesheet):
    """Textual's sheet; a widget's nodes for its named parts live as long as the widget."""

    def _process_component_classes(self, node: DOMNode) -> None:
        """Style each named part anew by the node it has; the widget is painted again where anything changed."""
        names = node._get_component_classes()
        kept = node._component_styles
        changed = False
        for gone in kept.keys() - names:
            del kept[gone]
        for name in sorted(names):
            styles = kept.get(name)
            part = styles.node if styles is not None else None
            if styles is None or part is None or part._parent is not node:
                part = DOMNode(classes=name)
                part._attach(node)
                before = None
                styles = part.styles
            else:
                before = dict(styles.base.get_rules())
                styles.base.reset()
            self.apply(part)
            changed = changed or before != styles.base.get_rules()
            kept[name] = styles
        if changed:
            node.refresh()
