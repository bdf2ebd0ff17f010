//! Positions against published values: NGA MGRS library tests (a), `GeographicLib` manual and tests (b),
//! FGDC-STD-011-2001 (c), and values on which `mgrs`, `pygeodesy`, `utm` and `pyproj` agree (x).

use holdfast::rules::place::{Form, Position, Unreadable, read};

fn at(latitude: f64, longitude: f64) -> Position {
    Position::new(latitude, longitude).expect("a place")
}

/// Latitude, longitude, zone, northern, easting, northing, MGRS.
type Row = (f64, f64, u8, bool, f64, f64, &'static str);

const ROWS: [Row; 14] = [
    (
        63.98863,
        29.06757,
        35,
        true,
        601_156.92,
        7_097_387.71,
        "35VPL0115697387",
    ), // a
    (
        12.40,
        53.51,
        39,
        true,
        772_906.62,
        1_372_069.72,
        "39PYP7290672069",
    ), // a
    (
        21.309_444,
        -157.916_861,
        4,
        true,
        612_340.66,
        2_356_781.20,
        "4QFJ1234056781",
    ), // a
    (
        8.125_823_5,
        17.371_433_7,
        33,
        true,
        761_321.44,
        898_972.61,
        "33PYJ6132198972",
    ), // a
    (
        -79.9,
        6.1,
        32,
        false,
        443_247.87,
        1_128_161.37,
        "32CMS4324728161",
    ), // b
    (
        33.3,
        44.4,
        38,
        true,
        444_140.54,
        3_684_706.36,
        "38SMB4414084706",
    ), // b, x
    (
        60.39299,
        5.32415,
        32,
        true,
        297_477.31,
        6_700_830.06,
        "32VKN9747700830",
    ), // Norway, x
    (
        78.22319,
        15.64689,
        33,
        true,
        514_738.72,
        8_683_359.36,
        "33XWG1473883359",
    ), // Svalbard, x
    (
        -33.92584,
        18.42322,
        34,
        false,
        261_802.85,
        6_243_076.05,
        "34HBH6180243076",
    ), // x
    (0.0, 0.0, 31, true, 166_021.44, 0.0, "31NAA6602100000"), // x
    (
        -0.00001,
        0.0,
        31,
        false,
        166_021.44,
        9_999_998.89,
        "31MAV6602199998",
    ), // x
    (
        54.527,
        -3.0165,
        30,
        true,
        498_932.14,
        6_042_158.64,
        "30UVF9893242158",
    ), // x
    (
        10.0,
        179.9999,
        60,
        true,
        828_917.76,
        1_106_908.75,
        "60PZS2891706908",
    ), // x
    (
        10.0,
        -180.0,
        1,
        true,
        171_071.26,
        1_106_908.85,
        "1PAM7107106908",
    ), // x
];

#[test]
fn grids_are_those_of_the_published_table() {
    for (latitude, longitude, zone, north, easting, northing, mgrs) in ROWS {
        let place = at(latitude, longitude);
        let written = place.mgrs().expect("a grid");
        assert_eq!(written.replace(' ', ""), mgrs);
        let utm = place.utm().expect("a grid");
        let half = if north { "north" } else { "south" };
        assert!(
            utm.starts_with(&format!("zone {zone} {half} hemisphere ")),
            "{utm}"
        );
        let figures: Vec<f64> = utm
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        assert!((figures[1] - easting).abs() <= 1.0, "{utm}");
        assert!((figures[2] - northing).abs() <= 1.0, "{utm}");
        // Read back: the centre of the square, half a square and a centimetre away at most.
        for text in [
            written.clone(),
            mgrs.to_lowercase(),
            format!("0{mgrs}")
                .chars()
                .skip(usize::from(zone > 9))
                .collect(),
        ] {
            let reading = read(&text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!((reading.form, reading.square), (Form::Mgrs, Some(1.0)));
            assert!(reading.position.metres_to(place) < 0.73, "{text}");
        }
        let reading = read(&utm).unwrap_or_else(|error| panic!("{utm}: {error}"));
        assert_eq!(reading.form, Form::Utm);
        assert!(reading.position.metres_to(place) < 1.5, "{utm}");
    }
}

#[test]
fn published_readings() {
    // b: centre of a 1 km square.
    let square = read("38SMB4488").expect("read");
    assert!(square.position.metres_to(at(33.33424, 44.40363)) < 2.0);
    assert_eq!(square.square, Some(1000.0));
    // c: centre of a metre.
    let standard = read("18S UJ 23371 06519").expect("read");
    assert!(standard.position.metres_to(at(38.889_805, -77.036_537)) < 1.0);
    // b: a lower-case n after the zone is a hemisphere; as a band it is north as well.
    let utm = read("38n 444140.6 3684706.3").expect("read");
    assert!(utm.position.metres_to(at(33.3, 44.4)) < 1.0);
    // S could be south or band S when both exist; when only one does it is that one.
    assert_eq!(read("38S 444140 3684706"), Err(Unreadable::NorthOrSouth));
    assert!(
        read("34S 261802 6243076")
            .expect("read")
            .position
            .latitude()
            < 0.0
    );
    assert!(
        read("34H 261802 6243076")
            .expect("read")
            .position
            .latitude()
            < 0.0
    );
    let north = read("30U 498932 6042158").expect("read").position;
    assert!(north.metres_to(at(54.527, -3.0165)) < 1.5);
    assert_eq!(read("34C 261802 6243076"), Err(Unreadable::NotInZone));
}

/// a: shortening truncates.
#[test]
fn shortening_truncates() {
    let place = read("33XVG7459743593").expect("read").position;
    let expected = [
        "33XVG",
        "33XVG74",
        "33XVG7443",
        "33XVG745435",
        "33XVG74594359",
        "33XVG7459743593",
    ];
    for (digits, expected) in (0..).zip(expected) {
        let short = place.mgrs_of(digits).expect("a grid");
        assert_eq!(short.replace(' ', ""), expected);
    }
}

#[test]
fn degrees_minutes_and_seconds_in_every_usual_spelling() {
    let place = at(54.527, -3.0165);
    assert_eq!(place.decimal(), "54.52700 N 3.01650 W");
    assert_eq!(place.plain(), "54.52700, -3.01650");
    assert_eq!(place.minutes(), "54° 31.620′ N 3° 00.990′ W");
    assert_eq!(place.seconds(), "54° 31′ 37.2″ N 3° 00′ 59.4″ W");
    // Rounding never makes sixty.
    assert_eq!(
        at(9.999_999_9, 0.0).seconds(),
        "10° 00′ 00.0″ N 0° 00′ 00.0″ E"
    );
    assert_eq!(at(9.999_999_9, 0.0).minutes(), "10° 00.000′ N 0° 00.000′ E");
    for text in [
        "54.527, -3.0165",
        "54.527 -3.0165",
        "54,527 -3,0165",
        "54,527; -3,0165",
        "54.527N 3.0165W",
        "N54.527 W3.0165",
        "W 3.0165, N 54.527",
        "54 31 37.2 N 3 00 59.4 W",
        "54°31'37.2\"N, 3°00'59.4\"W",
        "54° 31′ 37.2″ N 3° 00′ 59.4″ W",
        "54° 31.620′ N 3° 00.990′ W",
        "54d31.62 N 3d0.99 W",
        "N54°31'37.2\" W3°0'59.4\"",
        "54 31,62 N 3 0,99 W",
        "54.527, \u{2212}3.0165",
    ] {
        let reading = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!(reading.position.metres_to(place) < 0.2, "{text}");
    }
}

#[test]
fn what_is_no_position_is_refused_with_what_to_do() {
    for (text, expected) in [
        ("", Unreadable::Empty),
        ("by the hut", Unreadable::Unknown),
        ("54.527", Unreadable::Unknown),
        ("5d60 N 3 W", Unreadable::Sixty), // b
        ("-54.5 N 3 W", Unreadable::Contradiction),
        ("54 N 3 N", Unreadable::TwoAlike),
        ("130.5, 54.5", Unreadable::OutOfRange),
        ("32XMH1111", Unreadable::NoSquare), // a
        ("30UVF989", Unreadable::OddFigures),
        ("30IVF9889", Unreadable::NoSquare),
        ("30OVF9889", Unreadable::NoSquare),
        ("YXL 0200 0300", Unreadable::Polar),
    ] {
        assert_eq!(read(text), Err(expected), "{text}");
        assert!(!expected.to_string().is_empty());
    }
    // Above 84 north and below 80 south the grid is refused in words; degrees still work.
    for pole in [at(84.5, 10.0), at(-80.5, 10.0)] {
        assert!(
            pole.mgrs()
                .expect_err("no grid")
                .to_string()
                .contains("use degrees")
        );
        assert!(pole.utm().is_err());
        assert!(read(&pole.decimal()).is_ok());
    }
}

/// `GeographicLib` 2.1 geodesic: 12 258.71 m; a sphere is within 0.5 %.
#[test]
fn a_distance_is_near_the_geodesic() {
    let metres = at(54.527, -3.0165).metres_to(at(54.5, -3.2));
    assert!((metres - 12_258.71).abs() / 12_258.71 < 0.005, "{metres}");
}
