//! Headings and standing sentences of the booklet, in one place.

use packet::Packet;
use serde_json::{Value, json};

/// Headings and standing sentences.
pub(super) fn words(packet: &Packet) -> Value {
    json!({
        "pattern": "Sewing pattern",
        "not_ready": "NOT READY TO CUT",
        "size_order": "Sizes are width × height.",
        "check": "Check:",
        "mind": "Mind:",
        "findings": "Before you cut",
        "draft_note": "This is a draft. Nothing may be cut before what must be put right is put right.",
        "overview": "At a glance",
        "glance_headings": ["What", "How much"],
        "reading_note": packet.reading_note().unwrap_or_default(),
        "contents": "In this booklet",
        "need": "What you need",
        "need_intro": "Each line says how much the pieces use and how much to buy. The usable width \
            is what lies between the selvedges; measure yours before you cut.",
        "widths": "If your fabric has another width",
        "widths_intro": "What to buy by the width on the bolt, the length for each width.",
        "key": "How to read the drawings",
        "key_intro": "Lines and textures mean the same on every page, in black and white too.",
        "cut_list": "Cut list",
        "cut_intro": "Sizes are as cut, seam allowances included. Tick each piece when it is cut, \
            and pin a note with its name to it.",
        "cut_headings": ["", "Piece", "Cut", "Size", "Grain"],
        "layouts": "Cutting layouts",
        "pieces": "The pieces",
        "pieces_intro": "Each piece is seen from its right side. All marks are measured on the cut \
            piece.",
        "steps": "Step by step",
        "after": "When it is finished",
        "changes": "Changed since the last edition",
        "glossary": "Words used",
        "notes": "Notes",
    })
}
