//! Readings of simulated lamps, against what the lamp was made to do.

#[path = "meaning/colours.rs"]
mod colours;
#[path = "meaning/order.rs"]
mod order;
#[path = "meaning/other_colour.rs"]
mod other_colour;
#[path = "meaning/outcomes.rs"]
mod outcomes;
#[path = "meaning/pulses.rs"]
mod pulses;
#[path = "meaning/rhythms.rs"]
mod rhythms;
#[path = "meaning/support.rs"]
mod support;
#[path = "meaning/tally.rs"]
mod tally;
#[path = "meaning/which_lamp.rs"]
mod which_lamp;
