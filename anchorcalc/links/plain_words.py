"""What gives in each link and what that looks like, for people who never read a formula."""

from __future__ import annotations

from typing import Final

PLAIN_WORDS: Final[dict[str, str]] = {
    "ring": "The ring itself. It opens or tears beyond what its maker allows; before that it is bent out of shape.",
    "base_bends": "The ring's base curls up between its fasteners, like a spoon, and then lets the ring lean over.",
    "weld": "The weld under the ring cracks, first at its ends; a rust line or flaked paint tells before.",
    "off_frame": "There is no steel to weld to at this place, so that nothing holds the ring.",
    "frame_wall": "The wall of the member is pulled out of shape under the ring, or tears beside the weld.",
    "under_ring": "The member under the ring is bent up between the main rails and stays bent.",
    "old_holes": "Screws in holes that have held one before find no fresh wood; they come out with little warning.",
    "withdrawal": "The screws draw out of the wood. The base rises a little and the screws turn loose by hand.",
    "screw_steel": "A screw snaps below its head; the base hangs on the others.",
    "screw_sideways": "The screws lean over and crush the wood beside them; the base creeps towards the strap.",
    "screw_slant": "The screws are pulled up and sideways at once: they lean, the wood beside them is crushed, "
    "and they draw out. The base's edge away from the load lifts first.",
    "bolt_steel": "A bolt stretches and snaps in its thread; before that its nut no longer sits tight.",
    "bolt_sideways": "The bolts lean and their holes in the wood grow oval; the ring shifts towards the strap.",
    "plank_splits": "The plank opens along its grain at the fasteners, on the side it is pushed to; a crack runs on "
    "to its end.",
    "no_bay": "The bar has no second cross-member to lie against, so that it holds nothing.",
    "off_bars": "The bolts do not go through the bars, so that these hold nothing.",
    "bridge_bar": "The bar under the two cross-members sags upward in its middle and stays bent.",
    "nut_through_bar": "A nut bends the bar's edge or tears through its hole.",
    "crush": "The wood over the nuts is pressed in. Nothing comes off at once: what lies under the wood sinks in, nuts "
    "go loose, and each hard ride makes the dent deeper.",
    "pull_through": "Washers or plate dish and are drawn up through the deck, which splinters above them.",
    "punch_out": "All nuts together tear a piece as large as their pattern out of the deck.",
    "nut_through_plate": "A nut dishes the plate and tears through its hole.",
    "plate_bends": "The plate under the deck bows at its nuts and stays so; it then spreads the pull less and less.",
    "deck_gone": "The wood is rotten or has come apart; nothing fastened to it is held.",
    "panel_bending": "The deck is pulled up between two cross-members until it cracks: first a hump at the ring, "
    "then noise, then splinters on its top side.",
    "rolling_shear": "Plies inside the plywood slide on each other, or a plank parts level along its grain; the deck "
    "goes soft and hums hollow when tapped.",
    "hold_down": "The screws that hold the deck to its cross-members are drawn out or their heads through the wood: "
    "the whole deck rises with the ring. Heads stand proud, or a gap opens over the members.",
    "deck_slides": "The boards slide over the members and lean on their own screws, whose holes grow long.",
    "deck_pushed": "The ring stays with the steel, but the boards slide over the members and lean on their own screws.",
    "member_kept": "The cross-member under the ring is drawn along the trailer between its rails; the deck's screws in "
    "it lean, and it stays bent.",
    "off_member": "The bolts do not meet the cross-member, so that it holds nothing.",
    "pull_over": "A nut is drawn through the steel of the cross-member; its hole is dished before.",
    "leg": "The angle's or channel's leg is bent up by the bolts and stays so.",
    "crown": "The crown of the hat folds in under the nut or the washer.",
    "tube_wall": "The wall of the tube folds in under the nut or the washer.",
    "tube_bearing": "The bolts tear their holes in the tube long; the ring shifts towards the strap.",
    "own_member": "The cross-member is bent up between the main rails and stays bent.",
    "member_beside": "The cross-members beside the ring are bent up between the main rails and stay bent.",
    "timber_crush": "The washers are pressed into the wood from below and the nuts go loose.",
    "timber_own": "The wood under the ring is bent up between what carries it until it cracks on its top side.",
    "timber_beside": "The wood beside the ring is bent up between what carries it until it cracks on its top side.",
    "timber_shear": "The wood splits along its length at one end, half-way up; checks there tell before.",
    "timber_splits": "The wood opens along its grain at the points of the deck's screws: its upper part comes off with "
    "the deck.",
    "member_joint": "The weld at the main rail cracks and the cross-member's end comes up; rust lines tell first.",
    "turns_over": "The base tips over its own edge, since no fastener keeps that side down.",
}
"""By the key of a mode [common practice, no source]."""
