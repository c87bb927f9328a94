//! The report for people.

use crate::advice::samples::{LOST, OFF, reading, table};
use crate::meaning::Outcome;

use super::*;

#[test]
fn text_of_a_decided_reading() {
    insta::assert_snapshot!(plain(&decided(&table())), @r#"
    The light means "Starting up" (very sure, 97 %).

    Next:
      Caution: The device may be changing its firmware. Leave the power connected
               until it has finished.
      This usually lasts 90 s, at most 6 min.
      1. For the first 6 min: Wait until the lamp changes. Leave the power
         connected.
      2. Caution: Dry hands only. Do not open mains equipment. Climb only on a
         secured ladder, with somebody by. The site's own rules, local electrical
         codes and licensed practice come first.
         Only after 6 min of this: Check that the supply is the one for this
         controller.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
      When:
          0.0 to   9.8 s  Starting up (97 %)
      Light "crown", the round lamp above the hose inlet:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 98 %
        colour    blue (99 %)
        rhythm    breathing (swelling and fading)
        one cycle 2.41 ± 0.02 s
        lit       4 times
        in view   all of the frames
        0 s __bbBBBBBBbb___bbbBBBBBBbb___bbBBBBBBbbb___bbBBBBBBbb___ 9.8 s
            B blue, small letter half lit, _ dark
      It could also be:
        - Updating its firmware (2 %)
        - something not in the table (1 %)
    Warnings:
      - The phone was moved: 12 pixels from frame to frame. Brace the phone against
        something firm and hold it still. [hand-shake]
    "#);
}

#[test]
fn text_of_an_undecided_reading() {
    insta::assert_snapshot!(plain(&undecided(&table())), @r#"
    Not decided: this clip may show "Lost the base station" (49 %), "No water"
    (48 %) or something not in the table (3 %).

    Next:
      1. Ask which it is: "Lost the base station" or "No water"? They look the same;
         no clip can tell.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
      When:
          0.0 to   9.8 s  Lost the base station (49 %)
      Light "crown", the round lamp above the hose inlet:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 98 %
        colour    red (72 %) or amber (28 %)
        rhythm    flashing
        one cycle 1.000 ± 0.003 s
        lit for   0.50 ± 0.01 s at a time
        lit       9 times
        in view   90 % of the frames
        0 s RRRRRr_____RRRRRR_____????????????RRRRRr____rRRRRRr_____ 5.0 s
            R red, small letter half lit, _ dark, ? not seen
      Other lamps in the picture, not used: at 1400,220.
      It could be:
        - Lost the base station (49 %)
        - No water (48 %)
        - something not in the table (3 %)
      What would settle it:
        - ask which it is: "Lost the base station" or "No water"
    Warnings:
      - The light was in view for 90 % of the frames. Keep the lamp in the picture
        all the time, with no finger before it. [partly-seen]
      - The colour may be red or amber; the camera cannot tell. Put a white sheet of
        paper beside the lamp and film both. [near-colours]
    "#);
}

#[test]
fn text_of_an_unlisted_light() {
    insta::assert_snapshot!(plain(&unlisted(&table())), @r#"
    The light does something that the table does not list (fairly sure, 93 %).

    Next:
      1. Check that the device is the one that the table describes: Orchard valve
         controller.
      2. Stop here and hand the case on, with this report: the light does something
         that the table does not list.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
      When:
          0.0 to   2.0 s  Ready (90 %)
          2.0 to   9.8 s  not in the table (93 %)
      Light "crown", the round lamp above the hose inlet:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 98 %
        colour    red (72 %) or amber (28 %)
        rhythm    flashing
        one cycle 1.000 ± 0.003 s
        lit for   0.50 ± 0.01 s at a time
        lit       9 times
        in view   90 % of the frames
        0 s RRRRRr_____RRRRRR_____????????????RRRRRr____rRRRRRr_____ 5.0 s
            R red, small letter half lit, _ dark, ? not seen
      It could be:
        - Lost the base station (7 %)
    "#);
}

#[test]
fn text_of_an_unseen_light() {
    insta::assert_snapshot!(plain(&unseen(&table())), @r#"
    No usable light was seen in this clip, so there is no reading.

    Next:
      Caution: A dark light does not prove that the power is off. Treat the device
               as live.
      Caution: Do not stare into a bright lamp or into a fibre port; look at the
               phone's screen.
      1. Film the round lamp above the hose inlet for 10 s, near enough that it is
         plain to see on the screen.
      2. If the lamp is plain to see in this clip all the same, be it lit or dark,
         read it again with the lamp's place after --at.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
    Warnings:
      - The file is damaged: 18 of 300 frames could not be read well. Copy the file
        again from the phone, or film again. [damaged-frames]
    "#);
}

#[test]
fn text_of_a_place_that_is_hardly_a_lamp() {
    insta::assert_snapshot!(plain(&hardly_a_lamp(&table())), @r#"
    No usable light was seen in this clip, so there is no reading.

    Next:
      Caution: A dark light does not prove that the power is off. Treat the device
               as live.
      Caution: Do not stare into a bright lamp or into a fibre port; look at the
               phone's screen.
      1. Film the round lamp above the hose inlet for 10 s, near enough that it is
         plain to see on the screen.
      2. Look at the clip: if what is at 612,340 is the lamp, be it lit or dark,
         read the clip again with --at 612,340; if the lamp is elsewhere, with its
         own place after --at.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
      Light "crown", the round lamp above the hose inlet:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 20 %
        colour    red (72 %) or amber (28 %)
        rhythm    flashing
        one cycle 1.000 ± 0.003 s
        lit for   0.50 ± 0.01 s at a time
        lit       9 times
        in view   90 % of the frames
        0 s RRRRRr_____RRRRRR_____????????????RRRRRr____rRRRRRr_____ 5.0 s
            R red, small letter half lit, _ dark, ? not seen
      It could be, if that is a lamp at all:
        - Lost the base station (4 %)
    "#);
}

#[test]
fn text_of_a_photo() {
    insta::assert_snapshot!(plain(&from_photo(&table())), @r#"
    Not decided: this photo may show "Ready" (60 %) or "Updating its firmware"
    (40 %).
    This is a photo; a clip would settle what the light does over time.

    Next:
      Caution: The device may be changing its firmware. Leave the power connected
               until it has finished.
      Caution: Do not stare into a bright lamp or into a fibre port; look at the
               phone's screen.
      1. Film a clip of 5 s; a photo cannot show what the light does over time.

    What this rests on:
      Footage:  a photo, 1920 x 1080 pixels
      Table:    Orchard valve controller (6 rows)
      Light "crown", the round lamp above the hose inlet:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 98 %
        colour    white (95 %) or warm white (5 %)
        rhythm    no rhythm to be told
        in view   all of the frames
      It could be:
        - Ready (60 %)
        - Updating its firmware (40 %)
      What would settle it:
        - film a clip of 5 s in place of a photo
    Warnings:
      - A photo shows one moment and no rhythm: a lit lamp may be flashing, a dark
        one too. Film a clip of 5 s; a photo cannot show what the light does over
        time. [photo]
      - The file does not say how it codes colour; the customary way was taken. Send
        the file as the phone made it, not one that was sent on or edited.
        [assumed-colour]
    "#);
}

#[test]
fn text_without_a_table() {
    insta::assert_snapshot!(plain(&without_table(vec![flashing()])), @r#"
    One light was seen: red, flashing, one cycle in 1.00 s. No table was given, so
    no meaning.

    Next:
      1. Give the device's light table, to learn what this means.

    What this rests on:
      Footage:  a clip of 9.8 s, 294 frames (29.97 a second), 1920 x 1080 pixels
      Table:    none
      The light:
        place     612 across, 340 down, radius 7.5 pixels; looks like a lamp: 98 %
        colour    red (72 %) or amber (28 %)
        rhythm    flashing
        one cycle 1.000 ± 0.003 s
        lit for   0.50 ± 0.01 s at a time
        lit       9 times
        in view   90 % of the frames
        0 s RRRRRr_____RRRRRR_____????????????RRRRRr____rRRRRRr_____ 5.0 s
            R red, small letter half lit, _ dark, ? not seen
    "#);
}

/// Titles and labels are somebody else's: long, without a blank, or out to play with the terminal.
fn awkward() -> crate::table::LightTable {
    let mut table = table();
    table.device.name = "Z".repeat(200);
    table.lights[0].label = "the lamp that is ".repeat(20);
    for meaning in &mut table.meanings {
        meaning.title = format!("{} \u{1b}[2J {}", "long ".repeat(30), "X".repeat(120));
    }
    table
}

#[test]
fn no_line_is_wider_than_the_page() {
    for table in [table(), awkward()] {
        for findings in all(&table) {
            let text = plain(&findings);
            let widest = text.lines().map(|line| line.chars().count()).max();
            assert!(widest <= Some(80), "{widest:?} columns in\n{text}");
            assert!(
                !text.contains('\u{1b}'),
                "an escape sequence of the table came through"
            );
        }
    }
}

#[test]
fn colour_carries_nothing_alone() {
    let table = table();
    for findings in all(&table) {
        let coloured = text(&findings, &advice(&findings), &Style { colour: true });
        assert!(coloured.contains("\u{1b}[1m"));
        let mut bare = coloured;
        for code in ["\u{1b}[1m", "\u{1b}[1;33m", "\u{1b}[0m"] {
            bare = bare.replace(code, "");
        }
        assert_eq!(bare, plain(&findings));
    }
}

#[test]
fn a_dark_light_is_cautioned_in_text_and_json() {
    let table = table();
    let mut findings = decided(&table);
    findings.lamps = vec![dark()];
    findings.judged.as_mut().unwrap().reading = reading(Outcome::Decided { row: OFF }, 0.99);
    let advice = advice(&findings);
    let words = "A dark light does not prove that the power is off.";
    assert!(plain(&findings).contains(words));
    let value = json(&findings, &advice);
    assert_eq!(value["cautions"][0]["code"], "dark-proves-nothing");
    assert!(
        value["next"][0]["caution"].as_str().unwrap().contains(words),
        "the first step carries it too"
    );
}

#[test]
fn what_erases_is_said_before_the_step() {
    let table = table();
    let mut findings = decided(&table);
    findings.judged.as_mut().unwrap().reading = reading(Outcome::Decided { row: LOST }, 0.97);
    let text = plain(&findings);
    let (caution, step) = (
        text.find("A reset erases the settings"),
        text.find("Hold the button for 12 s"),
    );
    assert!(caution.is_some() && caution < step, "{text}");
}
