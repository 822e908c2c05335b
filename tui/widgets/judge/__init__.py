from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.widgets.judge import ask_field as ask_field
    from tui.widgets.judge import element_in_housing as element_in_housing
    from tui.widgets.judge import load_bars as load_bars
    from tui.widgets.judge import marks as marks
    from tui.widgets.judge import section_text as section_text
    from tui.widgets.judge import sight_glass as sight_glass
    from tui.widgets.judge import step_path as step_path
    from tui.widgets.judge import temperature_bars as temperature_bars
    from tui.widgets.judge import thread_profile as thread_profile
    from tui.widgets.judge import viscosity_plot as viscosity_plot
else:
    from catalog.door import door

    __getattr__ = door(__name__)
