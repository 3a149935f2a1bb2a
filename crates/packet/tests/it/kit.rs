//! Bags for a class, cut together.

use measure::{Currency, Length, Money, System};
use packet::earns::{Priced, Rates, earns, kit_price};
use packet::kit::{Kit, KitNotion, Layers};
use packet::takes::Pace;

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

/// A tote that has every sort of notion: rings, a zip, elastic, hook and loop.
fn with_notions(width: i64, elastic: &str) -> packet::Packet {
    packet_of(&format!(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = {width}\nheight = 12\ndepth = 4\n\
         [handles]\nkind = \"rings\"\n[[pocket]]\nkind = \"elastic\"\nelastic = \"{elastic}\"\n\
         [closure]\nkind = \"magnetic-snap\"\n"
    ))
}

/// Everything is bought together for no more than bag by bag: cloth, webbing, thread, elastic; and
/// single things are as many as all bags have.
#[test]
fn no_purchase_is_more_than_the_single_ones() {
    let packets = [with_notions(12, "3/8"), with_notions(14, "3/8"), with_notions(13, "1/2")];
    for counts in [[1, 1, 1], [4, 1, 2], [2, 3, 5]] {
        let bags: Vec<_> = packets.iter().cloned().zip(counts).collect();
        let kit = Kit::of(bags.clone(), 0, 0);
        let singles: Vec<(Kit, u32)> =
            bags.iter().map(|(bag, n)| (Kit::of(vec![(bag.clone(), 1)], 0, 0), *n)).collect();
        let apart = |of: &dyn Fn(&Kit) -> Length| -> Length {
            singles.iter().map(|(kit, count)| of(kit) * i64::from(*count)).sum()
        };
        let cloth = |kit: &Kit| kit.cloths.iter().filter_map(packet::kit::KitCloth::bought).sum();
        let webbing = |kit: &Kit| kit.webbing.iter().map(|one| one.bought).sum();
        let elastic = |kit: &Kit| kit.notions.iter().filter_map(|one| one.bought).sum();
        let thread = |kit: &Kit| {
            let spools =
                |it: &packet::kit::KitThread| packet::takes::spools(it.length, System::Inch);
            kit.threads.iter().map(|it| spools(it).each * spools(it).count).sum()
        };
        for of in [&cloth as &dyn Fn(&Kit) -> Length, &webbing, &elastic, &thread] {
            assert!(of(&kit) <= apart(of) && of(&kit).is_positive(), "{counts:?}");
        }
        let rings = |kit: &Kit| {
            kit.notions.iter().find(|one| one.notion.kind.key == "ring").map(KitNotion::count)
        };
        let all: u32 = counts.iter().sum();
        assert_eq!(rings(&kit), Some(i64::from(4 * all)));
        // Elastic of two widths is two purchases.
        assert_eq!(kit.notions.iter().filter(|one| one.bought.is_some()).count(), 2);
    }
}

/// What students pay covers what the kit costs, to less than a coin for each; shares of a purchase
/// are all of it; and one design alone costs the same as by the price of a batch.
#[test]
fn students_pay_for_the_whole_kit_and_hardly_more() {
    let usd = |minor| Money::new(minor, Currency::USD);
    let priced =
        |thing: &str, minor, per| Priced { thing: thing.to_owned(), money: usd(minor), per };
    let mut rates = Rates::new(usd(15_00));
    rates.overhead = 10_00;
    rates.prices = vec![
        priced("outside fabric", 14_99, Some(Length::YARD)),
        priced("lining fabric", 9_49, Some(Length::YARD)),
        priced("webbing", 1_79, Some(Length::YARD)),
        priced("thread", 3_29, None),
        priced("ring", 49, None),
        priced("elastic", 89, Some(Length::YARD)),
        priced("magnetic snap", 1_10, None),
    ];
    let bags = vec![(with_notions(12, "3/8"), 4), (with_notions(14, "1/2"), 3)];
    let kit = Kit::of(bags, 20, 0);
    let price = kit_price(&kit, &rates, Pace::USUAL);
    assert_eq!(price.unpriced, Vec::<String>::new());
    let lines: i64 = price.lines.iter().map(|(_, money)| money.minor()).sum();
    assert_eq!(lines, price.materials.minor());
    let shares: i64 = price.bags.iter().map(|bag| bag.materials.minor()).sum();
    assert_eq!(shares, lines);
    for bag in &price.bags {
        let paid = bag.one.materials.minor() * i64::from(bag.wanted);
        let over = paid - bag.materials.minor();
        assert!((0..i64::from(bag.wanted)).contains(&over), "{over}");
        let parts = [bag.one.materials, bag.one.labour, bag.one.overhead, bag.one.each];
        assert_eq!(parts.iter().map(|it| it.minor()).sum::<i64>(), bag.one.cost.minor());
    }
    // Rings: four on each of (4 + 1) and (3 + 1) bags, at 0.49.
    let rings =
        price.lines.iter().find(|(what, _)| what.contains("ring")).expect("they are bought");
    assert_eq!(rings.1, usd(36 * 49));
    let whole: i64 = price.bags.iter().map(|it| it.one.price.minor() * i64::from(it.wanted)).sum();
    assert_eq!(price.whole, usd(whole));
    assert!(price.whole.minor() > price.materials.minor());
    // The larger bag costs no less.
    assert!(price.bags[1].one.materials.minor() >= price.bags[0].one.materials.minor());
    let one = Kit::of(vec![(with_notions(12, "3/8"), 1)], 0, 0);
    let alone = kit_price(&one, &rates, Pace::USUAL);
    assert_eq!(alone.bags[0].one.price, earns(&one, &rates, Pace::USUAL).one.kit);
}
