//! Bags for a class, cut together.

use measure::Length;
use packet::kit::{Kit, Layers};

use crate::packet_of;

fn tote(width: i64) -> packet::Packet {
    packet_of(&format!(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = {width}\nheight = 12\ndepth = 4\n\
         [handles]\nkind = \"webbing\"\n"
    ))
}

/// The combined purchase is never more than bag by bag, every piece is laid as often as it is
/// needed, and the verifier, which shares no code with the solvers, accepts each layout and stack.
#[test]
fn together_is_never_more_than_bag_by_bag() {
    let kit = Kit::of(vec![(tote(12), 5), (tote(15), 3)], 20, 0);
    assert_eq!(kit.bags.iter().map(|bag| bag.cut).collect::<Vec<_>>(), [6, 4]);
    assert_eq!(kit.cloths.len(), 2);
    for cloth in &kit.cloths {
        let layout = cloth.layout.as_ref().expect("it fits");
        assert_eq!(layout::verify(&cloth.problem, layout), Ok(()));
        assert!(cloth.bought() <= cloth.apart);
        let pieces: u32 = cloth.problem.pieces.iter().map(|item| item.count).sum();
        assert_eq!(layout.placements.len(), usize::try_from(pieces).unwrap_or(0));
        // Six totes and four: two panels each.
        assert_eq!(pieces, 2 * 6 + 2 * 4);
        for stack in &cloth.stacks {
            assert_eq!(layout::verify(&stack.problem, &stack.layout), Ok(()));
            assert!(stack.bought >= stack.layout.needed * i64::from(stack.layers));
        }
    }
    let [webbing] = &kit.webbing[..] else { panic!("{:?}", kit.webbing) };
    let single = |bag: usize| kit.bags[bag].packet.webbing[0].used;
    assert_eq!(webbing.used, single(0) * 6 + single(1) * 4);
}

/// One design many times is so many sets of its pieces.
#[test]
fn one_design_is_cut_in_sets() {
    let kit = Kit::of(vec![(tote(12), 30)], 0, 0);
    let cloth = &kit.cloths[0];
    assert_eq!(cloth.problem.copies, 30);
    let layout = cloth.layout.as_ref().expect("it fits");
    assert_eq!(layout.placements.len(), 60);
    // 17 in of 42 in: two panels side by side, thirty rows of 15 in: 450 in.
    assert!(layout.length <= layout.bound + layout.bound / 50, "{layout:?}");
}

/// Thick cloth is cut through fewer layers: canvas of 1 mm twice with shears.
#[test]
fn thick_cloth_is_stacked_lower() {
    assert_eq!(Layers::SHEARS.of(None), 4);
    assert_eq!(Layers::SHEARS.of(Some(Length::MM)), 2);
    assert_eq!(Layers::ROTARY.of(Some(Length::mm(5))), 1);
}
