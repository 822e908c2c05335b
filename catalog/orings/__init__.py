"""O-rings: standard sizes, matching, glands, rubber, ports."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.orings import as_measured as as_measured
    from catalog.orings import back_up as back_up
    from catalog.orings import box as box
    from catalog.orings import by_look as by_look
    from catalog.orings import candidates as candidates
    from catalog.orings import completeness as completeness
    from catalog.orings import condition as condition
    from catalog.orings import contradiction as contradiction
    from catalog.orings import decide as decide
    from catalog.orings import denial as denial
    from catalog.orings import disagreement as disagreement
    from catalog.orings import doubt as doubt
    from catalog.orings import elastomer as elastomer
    from catalog.orings import evidence as evidence
    from catalog.orings import extrusion as extrusion
    from catalog.orings import figures as figures
    from catalog.orings import find_sizes as find_sizes
    from catalog.orings import fitted as fitted
    from catalog.orings import fluid_words as fluid_words
    from catalog.orings import fractions as fractions
    from catalog.orings import gland as gland
    from catalog.orings import groove as groove
    from catalog.orings import groove_book as groove_book
    from catalog.orings import groove_reading as groove_reading
    from catalog.orings import groove_rules as groove_rules
    from catalog.orings import implied as implied
    from catalog.orings import instruments as instruments
    from catalog.orings import joint as joint
    from catalog.orings import joint_kind as joint_kind
    from catalog.orings import joints as joints
    from catalog.orings import likelihood as likelihood
    from catalog.orings import limits as limits
    from catalog.orings import match as match
    from catalog.orings import measured_groove as measured_groove
    from catalog.orings import names as names
    from catalog.orings import neighbours as neighbours
    from catalog.orings import next_step as next_step
    from catalog.orings import of_machine as of_machine
    from catalog.orings import on_record as on_record
    from catalog.orings import on_shelf as on_shelf
    from catalog.orings import other_groove as other_groove
    from catalog.orings import outcomes as outcomes
    from catalog.orings import own_csv as own_csv
    from catalog.orings import own_groove as own_groove
    from catalog.orings import own_groove_csv as own_groove_csv
    from catalog.orings import own_port as own_port
    from catalog.orings import own_port_csv as own_port_csv
    from catalog.orings import own_table as own_table
    from catalog.orings import own_table_csv as own_table_csv
    from catalog.orings import play as play
    from catalog.orings import port as port
    from catalog.orings import port_book as port_book
    from catalog.orings import port_rules as port_rules
    from catalog.orings import posterior as posterior
    from catalog.orings import pressed_out as pressed_out
    from catalog.orings import prior as prior
    from catalog.orings import ran as ran
    from catalog.orings import read_limits as read_limits
    from catalog.orings import reason as reason
    from catalog.orings import ring_reasons as ring_reasons
    from catalog.orings import rubber_tables as rubber_tables
    from catalog.orings import rubber_words as rubber_words
    from catalog.orings import same_ring as same_ring
    from catalog.orings import saying as saying
    from catalog.orings import seats as seats
    from catalog.orings import shelf_age as shelf_age
    from catalog.orings import size_book as size_book
    from catalog.orings import size_rules as size_rules
    from catalog.orings import sizes as sizes
    from catalog.orings import span as span
    from catalog.orings import standard_grooves as standard_grooves
    from catalog.orings import standard_names as standard_names
    from catalog.orings import stretch as stretch
    from catalog.orings import tolerance as tolerance
    from catalog.orings import verdict as verdict
    from catalog.orings import would_do as would_do
else:
    from catalog.door import door

    __getattr__ = door(__name__)
