//! Something flat before and after it is turned.

use super::*;

impl Flat<'_, '_> {
    /// Something flat before and after it is turned.
    pub(super) fn turned(mut self, board: &mut Board, body: CopyId) -> Vec<String> {
        let sheet = self.story.sheet(self.step, body);
        let sides =
            [(self.story.before(self.step), "wrong side out"), (self.work, "right side out")];
        let mut x = 0.0;
        for (index, (work, says)) in sides.into_iter().enumerate() {
            self.work = work;
            let wrong = self.story.is_wrong_out(work, body);
            let up = if wrong { FaceSide::Wrong } else { FaceSide::Right };
            let lain = spread(self.story.before(self.step), &sheet, self.first(sheet[0], up));
            let group = Group::single(lain);
            self.scale = 1.0;
            let frame = self.extent(&group);
            let tall = (ROOM.1 - 8.0) / frame.height().max(1.0);
            self.scale = (30.0 / frame.width().max(1.0)).min(tall).min(LARGEST);
            let frame = self.extent(&group);
            let left = Vec2::new(x - frame.x0 * self.scale, frame.y0 * self.scale);
            let to_paper = Affine::translate(left)
                * Affine::new([self.scale, 0.0, 0.0, -self.scale, 0.0, 0.0]);
            for it in &group.lower {
                self.panel(board, it, false, to_paper);
                self.old_seams(board, it, false, to_paper);
                self.gaps(board, it, to_paper);
            }
            let wide = frame.width() * self.scale;
            caption(board, Point::new(x + wide / 2.0, 4.5), wide.max(26.0), says);
            if index == 0 {
                let y = -frame.height() * self.scale * 0.55;
                board.arrow(Point::new(wide + 1.5, y), Point::new(wide + 8.5, y), 2.0);
            }
            x += wide.max(24.0) + 11.0;
        }
        let name = self.work.pattern.copy(body).name.clone();
        self.said.push(format!(
            "Left, the {name} wrong side out, its opening between bars; right, turned right side out."
        ));
        self.said
    }
}
