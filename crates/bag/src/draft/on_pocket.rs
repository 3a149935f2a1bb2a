//! What closes a bag may be held by a pocket on its front instead of the panel behind that.

use measure::{Length, Point};

use super::fittings::reaches;
use super::{Drafter, Face};
use crate::operations::{FaceSide, Place};
use crate::pattern::{CopyId, Half, Look, PocketClaim};

impl Drafter<'_> {
    /// The half of a lock or a snap on the outer layer of a pocket at a place of a face: where the pocket
    /// lies flat and with its right side up, below its hem, clear of its sides and divisions, and of all
    /// that lies on it.
    pub(crate) fn half_on_pocket(
        &self,
        face: &Face,
        (x, height): (Length, Length),
        around: Length,
    ) -> Option<Half> {
        let outside = self.claims.pockets.iter().filter(|claim| !claim.inside);
        let mut holding = outside.filter_map(|claim| {
            let (spot, at) = self.spot_on(face, claim, (x, height))?;
            self.has_room(claim, at, around).then_some((claim, spot, at))
        });
        let (claim, spot, at) = holding.next()?;
        // Handles come first there, so that the pocket is named only where none of them lies.
        let alone = self.taken_at(face, (x, height), around).as_ref() == Some(&claim.name)
            && !self.is_covered(claim.copy, (claim.on, spot), around);
        let edge = self.upper_edge(claim.copy)?;
        let (_, high) = self.piece_of(claim.copy).net.bounds();
        let top = height + (high.y - at.y);
        alone.then_some(Half { on: claim.copy, at, edge, spent: top - face.height })
    }

    /// Where a place of a face is on the panel of a pocket and on the pocket, if that lies there upright
    /// with its right side up.
    fn spot_on(
        &self,
        face: &Face,
        claim: &PocketClaim,
        (x, height): (Length, Length),
    ) -> Option<(Point, Point)> {
        let index = face.copies.iter().position(|copy| *copy == claim.on)?;
        let spot = face.on(index, x, height).1;
        let places = self.steps().iter().filter_map(|step| step.as_a::<Place>());
        let mut items = places.flat_map(|place| &place.items);
        let placed = items.find(|it| it.what == claim.copy && it.onto == claim.on)?;
        let open = placed.face_up == FaceSide::Right
            && placed.ground == FaceSide::Right
            && !placed.upside_down;
        let low = self.piece_of(claim.copy).net.bounds().0;
        let own = Point::new(low.x + spot.x - placed.at.x, low.y + spot.y - placed.at.y);
        open.then_some((spot, own))
    }

    /// Whether so much lies around a place of a pocket on cloth of one height.
    fn has_room(&self, claim: &PocketClaim, at: Point, around: Length) -> bool {
        let piece = self.piece_of(claim.copy);
        let (low, high) = piece.net.bounds();
        // What is pleated, gathered or has bellows is larger than it lies.
        let is_flat = (piece.net_size().0 - claim.size.0).abs() < Length::MM
            && (piece.net_size().1 - claim.size.1).abs() < Length::MM;
        let hem = self.upper_edge(claim.copy).map_or(Length::ZERO, |it| piece.edges[it].allowance);
        let within = at.x - around > low.x
            && at.x + around < high.x
            && at.y - around > low.y
            && at.y + around < high.y - hem;
        let divisions = claim.compartments.iter().scan(low.x, |x, width| {
            *x += *width;
            Some(*x)
        });
        let last = claim.compartments.len().saturating_sub(1);
        let divided = divisions.take(last).any(|x| (x - at.x).abs() < around);
        let is_cloth = self.materials[piece.material.0].look != Look::Window;
        is_flat && within && !divided && is_cloth
    }

    /// The edge of a piece that is its straight top.
    fn upper_edge(&self, copy: CopyId) -> Option<usize> {
        let net = &self.piece_of(copy).net;
        let top = net.bounds().1.y;
        (0..net.edge_count()).find(|edge| {
            let edge = net.edge(*edge);
            edge.start().y == top && edge.end().y == top
        })
    }

    /// Whether something else is placed there after it: the flap of the pocket.
    fn is_covered(&self, copy: CopyId, (on, spot): (CopyId, Point), around: Length) -> bool {
        let places = self.steps().iter().filter_map(|step| step.as_a::<Place>());
        // Its own lining is placed with it.
        let own = |place: &&Place| place.items.iter().any(|item| item.what == copy);
        let later = places.skip_while(|place| !own(place)).skip(1);
        later.flat_map(|place| &place.items).any(|item| {
            let (width, height) = self.piece_of(item.what).net_size();
            let corner = Point::new(item.at.x + width, item.at.y + height);
            item.onto == on
                && item.ground == FaceSide::Right
                && reaches(spot, around, [item.at, corner])
        })
    }
}
