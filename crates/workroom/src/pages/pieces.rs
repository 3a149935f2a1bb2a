//! The pieces as they are cut and marked; an edge tells what it is sewn to.

use bag::assembly::{Assembly, Edging};
use bag::pattern::{CopyId, Pattern, PieceId};
use drawing::pieces::PieceOptions;
use drawing::{Scale, Scene, svg};
use maud::{Markup, PreEscaped, html};
use measure::{Length, show_length, show_size};
use packet::Packet;

use super::shell::{capital, not_yet, of_bag, way};
use super::{Page, found};
use crate::ask::{Answer, Ask};
use crate::room::{Drawn, Room};

/// The pieces small, beside the form.
pub(super) fn small(drawn: &Drawn, packet: &Packet) -> Markup {
    let pattern = &packet.pattern;
    html! {
        ul.thumbs {
            @for (id, _, scene) in paper::piece_scenes(packet) {
                @let piece = pattern.piece(id);
                @let (width, height) = piece.cut_size();
                @let marks = found_at(drawn, &piece.id);
                li {
                    a href={ (way(drawn.opened.id, "pieces")) "#piece-" (piece.id) } {
                        (PreEscaped(outline(&scene)))
                        span.title { (capital(&piece.name)) }
                    }
                    span.says { (pattern.count(id)) " × " (show_size(width, height, packet.system)) }
                    @for number in marks { a.mark href={ "#found-" (number) } { "finding " (number) } }
                }
            }
        }
    }
}

/// A piece without its texture, sizes and letters: small pictures want few lines.
fn outline(scene: &Scene) -> String {
    let mut scene = scene.clone();
    scene.id = format!("small-{}", scene.id);
    scene.layers.retain(|layer| matches!(layer.name.as_str(), "cloth" | "lines" | "grain"));
    for layer in &mut scene.layers {
        for item in &mut layer.items {
            if let drawing::Item::Shape { fill, .. } = item {
                *fill = drawing::Fill::None;
            }
        }
    }
    svg::element(&scene)
}

/// The numbers of the findings at a piece.
fn found_at(drawn: &Drawn, piece: &str) -> Vec<usize> {
    let at = drawn.findings.iter().enumerate().filter(|(_, finding)| {
        finding.severity != bag::Severity::Note
            && finding
                .place
                .piece
                .as_deref()
                .and_then(|name| found::piece_id(drawn, name))
                .as_deref()
                == Some(piece)
    });
    at.map(|(index, _)| index + 1).collect()
}

/// The page.
pub(super) fn page(_: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let id = drawn.opened.id;
    let body = match &drawn.packet {
        None => html! { h1 { (drawn.design.title) } (not_yet(id, "piece")) },
        Some(packet) => pieces(drawn, packet, ask),
    };
    Ok(Answer::page(of_bag(id, &drawn.design.title, "pieces", &body)))
}

fn pieces(drawn: &Drawn, packet: &Packet, ask: &Ask) -> Markup {
    let pattern = &packet.pattern;
    let work = Assembly::sew(pattern);
    let chosen = ask.query.text("edge");
    html! {
        h1 { (drawn.design.title) ": pieces" }
        p.help { "Each as it is cut, its right side up. Choose an edge, on the drawing or in the list, to see what it is sewn to." }
        @for (id, scale, scene) in paper::piece_scenes(packet) {
            @let piece = pattern.piece(id);
            @let edges = edges(packet, &work, id);
            @let open = chosen.split_once('.').filter(|(known, _)| *known == piece.id).map(|(_, edge)| edge);
            article.piece id={ "piece-" (piece.id) } {
                h2 { (capital(&piece.name)) }
                p.says { "Cut " (pattern.count(id)) " of " (pattern.material(piece.material).name) "; " (scale.say()) "." }
                @for number in found_at(drawn, &piece.id) {
                    @let finding = &drawn.findings[number - 1];
                    p.wrong { (capital(finding.severity.word())) ": " (capital(&finding.message)) ". Cure: " (finding.cure) "." }
                }
                div.paper { (with_edges(drawn.opened.id, packet, id, scale, &scene, &edges, open)) }
                table.edges {
                    caption { "Edges of the " (piece.name) }
                    thead { tr { th scope="col" { "Edge" } th scope="col" { "Length" } th scope="col" { "Allowance" } th scope="col" { "What becomes of it" } } }
                    tbody {
                        @for (index, edge) in edges.iter().enumerate() {
                            tr.chosen[open == Some(index.to_string().as_str())] id={ "edge-" (piece.id) "-" (index) } {
                                th scope="row" { (capital(&edge.name)) }
                                td { (edge.length) }
                                td { (edge.allowance) }
                                td {
                                    @for join in &edge.joins {
                                        div {
                                            (join.says)
                                            @if let Some(step) = join.step { ", " a href={ (way(drawn.opened.id, "sewing")) "?step=" (step) } { "step " (step) } }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

struct EdgeTold {
    name: String,
    length: String,
    allowance: String,
    joins: Vec<Join>,
}

#[derive(PartialEq, Eq)]
struct Join {
    says: String,
    /// Counted from one.
    step: Option<usize>,
}

fn edges(packet: &Packet, work: &Assembly<'_>, id: PieceId) -> Vec<EdgeTold> {
    let pattern = &packet.pattern;
    let piece = pattern.piece(id);
    let show = |length: Length| show_length(length, packet.system);
    (0..piece.net.edge_count())
        .map(|edge| EdgeTold {
            name: piece.edges.get(edge).map_or(String::new(), |edge| edge.name.clone()),
            length: show(piece.net.edge_length(edge)),
            allowance: piece.edges.get(edge).map_or(String::new(), |edge| show(edge.allowance)),
            joins: joins(packet, work, id, edge),
        })
        .collect()
}

/// What an edge is sewn to, from the sewn work: no list of seams is kept anywhere.
fn joins(packet: &Packet, work: &Assembly<'_>, id: PieceId, edge: usize) -> Vec<Join> {
    let pattern = &packet.pattern;
    let many = pattern.count(id) > 1;
    let mut joins = Vec::new();
    for glue in &work.glues {
        for (own, other) in [(glue.a, glue.b), (glue.b, glue.a)] {
            if pattern.copy(own.copy).piece != id || own.edge != edge {
                continue;
            }
            let from =
                if many { format!("{}: ", pattern.copy(own.copy).name) } else { String::new() };
            let says = format!(
                "{from}{} to the {} of the {}",
                show_length(own.length(), packet.system),
                edge_name(pattern, other.copy, other.edge),
                pattern.copy(other.copy).name,
            );
            let join = Join { says, step: Some(glue.step + 1) };
            if !joins.contains(&join) {
                joins.push(join);
            }
        }
    }
    for copy in pattern.copies_of(id) {
        let from = if many { format!("{}: ", pattern.copy(copy).name) } else { String::new() };
        for stretch in work.stretches(copy, edge) {
            let (becomes, step) = match stretch.edging {
                // Told above, with what each is joined to.
                Edging::Joined(_) | Edging::Closed(_) => continue,
                Edging::Basted(host, host_edge) => (
                    format!(
                        "lies level with the {} of the {}, and is caught with it",
                        edge_name(pattern, host, host_edge),
                        pattern.copy(host).name
                    ),
                    None,
                ),
                Edging::Raw if stretch.finished => ("its raw edge is finished".to_owned(), None),
                Edging::Raw => ("stays as it is cut".to_owned(), None),
                Edging::Gap(step) => ("left open".to_owned(), Some(step)),
                Edging::Hemmed(step) => ("hemmed".to_owned(), Some(step)),
                Edging::Zipped(step) => ("sewn to the zip".to_owned(), Some(step)),
                Edging::Bound(step) => ("bound".to_owned(), Some(step)),
                Edging::TurnedUnder(step) => ("turned under and held".to_owned(), Some(step)),
            };
            let long = show_length(stretch.to - stretch.from, packet.system);
            let join = Join { says: format!("{from}{long} {becomes}"), step: step.map(|s| s + 1) };
            if !joins.contains(&join) {
                joins.push(join);
            }
        }
    }
    joins
}

fn edge_name(pattern: &Pattern, copy: CopyId, edge: usize) -> &str {
    pattern.piece_of(copy).edges.get(edge).map_or("edge", |edge| edge.name.as_str())
}

/// The picture with its edges to be pointed at.
fn with_edges(
    bag: i64,
    packet: &Packet,
    id: PieceId,
    scale: Scale,
    scene: &Scene,
    told: &[EdgeTold],
    open: Option<&str>,
) -> Markup {
    let pattern = &packet.pattern;
    let piece = pattern.piece(id);
    let paths = drawing::pieces::edges(pattern, id, PieceOptions { system: packet.system, scale });
    let links = html! {
        @for (index, (path, edge)) in paths.iter().zip(told).enumerate() {
            @let says: Vec<&str> = edge.joins.iter().map(|join| join.says.as_str()).collect();
            a.edge.chosen[open == Some(index.to_string().as_str())]
                href={ (way(bag, "pieces")) "?edge=" (piece.id) "." (index) "#edge-" (piece.id) "-" (index) }
                aria-label={ (capital(&edge.name)) ", " (edge.length) }
                data-edge={ "edge-" (piece.id) "-" (index) } {
                title { (capital(&edge.name)) ", " (edge.length) ". " (says.join("; ")) }
                path d=(path) {}
            }
        }
    };
    let picture = svg::element(scene);
    // A picture with links in it is a group of things, no single image.
    let picture = picture.replacen("role=\"img\"", "role=\"group\"", 1);
    let end = picture.rfind("</svg>").unwrap_or(picture.len());
    PreEscaped(format!("{}{}{}", &picture[..end], links.into_string(), &picture[end..]))
}
