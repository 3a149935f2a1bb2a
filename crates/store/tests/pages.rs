//! The pages in `docs/` that are written from the code. `cargo xtask docs` writes them anew.

use expect_test::expect_file;

#[test]
fn the_page_on_design_files_is_current() {
    expect_file!["../../../docs/design-file.md"].assert_eq(&store::guide());
}

#[test]
fn the_page_on_packet_json_is_current() {
    expect_file!["../../../docs/packet-json.md"].assert_eq(&store::packet_page());
}

#[test]
fn the_page_on_audit_files_is_current() {
    expect_file!["../../../docs/audit-file.md"].assert_eq(&store::audit_page());
}

#[test]
fn the_page_on_workshop_files_is_current() {
    expect_file!["../../../docs/workshop-file.md"].assert_eq(&store::workshop_page());
}

#[test]
fn the_page_on_pattern_files_is_current() {
    expect_file!["../../../docs/pattern-file.md"].assert_eq(&store::pattern_page());
}
