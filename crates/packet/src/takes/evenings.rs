//! Which steps fit into evenings of some length, stopping only where the work can be laid down.

/// One evening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Evening {
    /// Index of its first step.
    pub from: usize,
    /// One past its last step.
    pub to: usize,
    /// What its steps take, in seconds; setting up and clearing away not counted.
    pub seconds: u64,
    /// Whether it takes longer than there is: nothing in between can be laid down.
    pub too_long: bool,
}

/// Fills evenings one after the other, each as full as it goes: so there are as few as can be. Each
/// step comes with its seconds and whether the work can be laid down after it; `room` is what one
/// evening leaves for work.
pub fn evenings(steps: &[(u64, bool)], room: u64) -> Vec<Evening> {
    let mut plan: Vec<Evening> = Vec::new();
    let mut from = 0;
    while from < steps.len() {
        let (mut seconds, mut best) = (0, None);
        let mut first = None;
        for (at, (takes, rests)) in steps.iter().enumerate().skip(from) {
            seconds += takes;
            let here = Evening { from, to: at + 1, seconds, too_long: seconds > room };
            if *rests || at + 1 == steps.len() {
                first = first.or(Some(here));
                if seconds <= room {
                    best = Some(here);
                }
            }
            if seconds > room && first.is_some() {
                break;
            }
        }
        let Some(evening) = best.or(first) else { break };
        from = evening.to;
        plan.push(evening);
    }
    plan
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn evenings_end_where_the_work_can_be_laid_down() {
        let steps = [(30, true), (40, false), (20, true), (50, true), (90, false), (30, true)];
        let plan = evenings(&steps, 100);
        let bounds: Vec<_> = plan.iter().map(|it| (it.from, it.to, it.too_long)).collect();
        // The fifth step cannot be left alone, and with the sixth it is too long for any evening.
        assert_eq!(bounds, [(0, 3, false), (3, 4, false), (4, 6, true)]);
        assert_eq!(evenings(&[], 100), []);
    }

    /// The fewest evenings, by trying every set of stops.
    fn fewest(steps: &[(u64, bool)], room: u64) -> Option<usize> {
        let count = steps.len();
        (0..1_usize << (count - 1))
            .filter_map(|stops| {
                let mut parts = vec![0];
                for (at, (takes, rests)) in steps.iter().enumerate() {
                    *parts.last_mut()? += takes;
                    if at + 1 < count && stops & (1 << at) != 0 {
                        if !rests {
                            return None;
                        }
                        parts.push(0);
                    }
                }
                parts.iter().all(|part| *part <= room).then_some(parts.len())
            })
            .min()
    }

    proptest! {
        #[test]
        fn as_few_as_can_be(
            steps in proptest::collection::vec((1_u64..60, any::<bool>()), 1..11),
            room in 20_u64..120,
        ) {
            let plan = evenings(&steps, room);
            prop_assert_eq!(plan[0].from, 0);
            prop_assert_eq!(plan[plan.len() - 1].to, steps.len());
            for pair in plan.windows(2) {
                prop_assert_eq!(pair[0].to, pair[1].from);
                prop_assert!(steps[pair[0].to - 1].1);
            }
            match fewest(&steps, room) {
                Some(count) => {
                    prop_assert!(plan.iter().all(|evening| !evening.too_long));
                    prop_assert_eq!(plan.len(), count);
                }
                None => prop_assert!(plan.iter().any(|evening| evening.too_long)),
            }
        }
    }
}
