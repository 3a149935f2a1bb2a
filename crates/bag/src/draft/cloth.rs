//! Which fabric and interfacing a part of the bag is made of.

use measure::{Increments, Length, System};

use super::Drafter;
use crate::design::{Design, FABRIC, Role};
use crate::kinds::Values;
use crate::pattern::{
    Cloth, Form, Interfaced, InterfacingCut, InterfacingHold, Look, Material, MaterialId, Pattern,
    Shop, Thread,
};

impl Drafter<'_> {
    /// The fabric of a part; parts with the same fabric share one material.
    pub fn fabric(&mut self, role: Role) -> MaterialId {
        let (name, cloth) = cloth_of(self.design, role);
        let look = look_of(role, self.design.fabrics.contains_key(&role));
        self.shared(name, role, Form::Fabric(cloth), look)
    }

    /// How a part is interfaced, if it is.
    pub fn interfacing(&mut self, role: Role) -> Option<Interfaced> {
        let own = self.design.interfacings.get(&role);
        let from_outside =
            (role == Role::Base).then(|| self.design.interfacings.get(&Role::Outside)).flatten();
        let values = own.or(from_outside)?.clone();
        let name = match values.text("name") {
            "" => "interfacing".to_owned(),
            name => name.to_owned(),
        };
        let form = Form::Interfacing(interfacing_of(&values));
        let material = self.shared(name, role, form, Look::Interfacing);
        let hold = match values.choice("held") {
            "basted" => InterfacingHold::Basted,
            "block" => InterfacingHold::Block,
            _ => InterfacingHold::Fused,
        };
        let cut = match (hold, values.choice("cut")) {
            (InterfacingHold::Block, _) | (_, "full") => InterfacingCut::Full,
            _ => InterfacingCut::Net,
        };
        Some(Interfaced { material, hold, cut })
    }

    /// The material of that name and form, made when it is new; notes the part that it serves.
    fn shared(&mut self, name: String, role: Role, form: Form, look: Look) -> MaterialId {
        let found = self.materials.iter().position(|m| m.name == name && m.form == form);
        if let Some(at) = found {
            let serves = &mut self.materials[at].serves;
            if !serves.split(", ").any(|part| part == role.title()) {
                *serves = format!("{serves}, {}", role.title());
            }
            return MaterialId(at);
        }
        let stem = slug(&name);
        let mut id = stem.clone();
        let mut count = 2;
        while self.materials.iter().any(|m| m.id == id) {
            id = format!("{stem}-{count}");
            count += 1;
        }
        let serves = role.title().to_owned();
        self.materials.push(Material { id, name, serves, form, look });
        MaterialId(self.materials.len() - 1)
    }
}

fn look_of(role: Role, own: bool) -> Look {
    match role {
        Role::Outside => Look::Outside,
        Role::Base | Role::Pocket | Role::Handle | Role::Cuff if own => Look::Contrast,
        Role::Base | Role::Pocket | Role::Handle => Look::Outside,
        Role::Lining | Role::Cuff | Role::InsidePocket | Role::Binding => Look::Lining,
    }
}

/// A stable kebab-case word made from a name.
fn slug(name: &str) -> String {
    let mut word = String::new();
    for letter in name.chars().flat_map(char::to_lowercase) {
        if letter.is_ascii_alphanumeric() {
            word.push(letter);
        } else if !word.is_empty() && !word.ends_with('-') {
            word.push('-');
        }
    }
    let word = word.trim_end_matches('-');
    if word.is_empty() { "material".to_owned() } else { word.to_owned() }
}

/// Notes how much of the width can be used of each cloth of the design.
pub(super) fn settle(d: &mut Drafter<'_>) {
    let design = d.design;
    for role in design.fabrics.keys() {
        let usable = cloth_of(design, *role).1.usable_width;
        d.settle(&format!("fabric.{}.usable", role.key()), usable);
    }
    for (role, values) in &design.interfacings {
        let usable = interfacing_of(values).usable_width;
        d.settle(&format!("interfacing.{}.usable", role.key()), usable);
    }
}

/// The cloth of an interfacing.
fn interfacing_of(values: &Values) -> Cloth {
    let width = values.length("width");
    Cloth {
        bought_width: width,
        usable_width: values.optional("usable").unwrap_or(width),
        usable_given: true,
        one_way: false,
        thickness: values.optional("thickness"),
        weight: values.weight("weight"),
        turnable: values.flag("turnable"),
        shrinks_in_length: 0,
        shrinks_in_width: 0,
    }
}

/// The fabric of a part, as it is called, and its cloth.
fn cloth_of(design: &Design, role: Role) -> (String, Cloth) {
    let own = design.fabrics.get(&role);
    let values = own.or_else(|| design.fabrics.get(&role.fallback()));
    let system = design.system();
    let values = values.cloned().unwrap_or_else(|| Values::defaults(FABRIC, system));
    let name = match values.text("name") {
        "" => format!("{} fabric", if own.is_some() { role } else { role.fallback() }.title()),
        name => name.to_owned(),
    };
    let bought = values.length("width");
    let given = values.optional("usable");
    let cloth = Cloth {
        bought_width: bought,
        usable_width: given.unwrap_or(usual_usable(bought, system)),
        usable_given: given.is_some(),
        one_way: values.flag("one-way"),
        thickness: values.optional("thickness"),
        weight: values.weight("weight"),
        turnable: values.flag("turnable"),
        shrinks_in_length: values.percent("shrinks-in-length") * 100,
        shrinks_in_width: values.percent("shrinks-in-width") * 100,
    };
    (name, cloth)
}

/// The fabric of a part, in the pattern that was drafted from a design; none if nothing is cut
/// from it.
pub fn fabric_of(design: &Design, pattern: &Pattern, role: Role) -> Option<MaterialId> {
    let (name, cloth) = cloth_of(design, role);
    let form = Form::Fabric(cloth);
    let same = |material: &Material| material.name == name && material.form == form;
    pattern.materials.iter().position(same).map(MaterialId)
}

/// The usual usable width of a bought width: 2 in (5 cm) less, for the selvedges. Common practice;
/// hobby sources plan 40–42 in of a 44 in fabric.
pub fn usual_usable(bought: Length, system: System) -> Length {
    bought
        - match system {
            System::Inch => Length::inch(2),
            System::Metric => Length::mm(50),
        }
}

impl Drafter<'_> {
    /// Usable width of a material that is sold off a bolt.
    pub fn cloth_width(&self, material: MaterialId) -> Option<Length> {
        self.materials[material.0].cloth().map(|cloth| cloth.usable_width)
    }
}

/// How the design's shop sells.
pub(super) fn shop(design: &Design) -> Shop {
    let yard = |parts: i64| Length::YARD / parts;
    let steps = match design.shop.choice("increments") {
        "eighths" => vec![yard(8)],
        "thirds" => vec![yard(3)],
        "eighths-and-thirds" => vec![yard(3), yard(8)],
        "quarters" => vec![yard(4)],
        "halves" => vec![yard(2)],
        "10-cm" => vec![Length::mm(100)],
        "5-cm" => vec![Length::mm(50)],
        "25-cm" => vec![Length::mm(250)],
        _ => Increments::usual(design.system()).steps().to_vec(),
    };
    Shop {
        increments: Increments::new(steps).unwrap_or_else(|_| Increments::usual(design.system())),
        squaring: design.shop.length("squaring"),
        gap: design.shop.length("gap"),
        strips_first: (design.shop.choice("cutting") == "strips-first")
            .then(|| design.shop.length("longest-cut")),
    }
}

/// The design's thread. Strengths are the least that A-A-52095B (2008), table I, asks of textured
/// polyester: Tex 24 1.9 lb, 35 2.5, 45 3.2, 50 3.9, 70 5.8; in newtons 8.5, 11.1, 14.2, 17.3,
/// 25.8.
pub(super) fn thread(design: &Design) -> Thread {
    let (tex, strength_mn) = match design.stitching.choice("thread") {
        "tex-24" => (24, 8_500),
        "tex-45" => (45, 14_200),
        "tex-50" => (50, 17_300),
        "tex-70" => (70, 25_800),
        _ => (35, 11_100),
    };
    Thread { tex, strength_mn }
}
