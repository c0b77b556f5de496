use super::built_in::{self, BUILT_IN};
use super::*;

#[test]
fn every_built_in_profile_reads_and_writes_back_the_same() {
    for (name, text) in BUILT_IN {
        let profile = Profile::parse(name, text).unwrap();
        assert_eq!(profile.name, name);
        assert_eq!(Profile::parse(name, &profile.to_toml()).unwrap(), profile);
    }
}

#[test]
fn a_cutter_in_hand_makes_a_profile_of_its_own() {
    let base = built_in::named("point-325").unwrap();
    let own = Profile::measured(
        &base,
        "crew-325",
        "Crew .325",
        &[("new_length_mm", 9.8), ("reach_mark_mm", 12.0)],
        "measured at our bench",
    )
    .unwrap();
    assert_eq!(own.get("new_length_mm").unwrap().standing, Standing::Measured);
    assert!((own.spec().reach_growth() - (12.0 - 5.5) / 6.8).abs() < 1e-12);
    assert!(Profile::measured(&base, "crew-325", "x", &[("new_length_mm", 2.0)], "bench").is_err());
}
