//! Codes to scan: as a picture for pages and paper, as text for the terminal.

use qrcode::render::{svg, unicode};
use qrcode::{EcLevel, QrCode};

/// Too much for a code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this is too long for a code that phones can scan; shorten it")]
pub struct QrError;

fn code(text: &str) -> Result<QrCode, QrError> {
    QrCode::with_error_correction_level(text, EcLevel::M).map_err(|_| QrError)
}

/// A code as SVG, black on white with the quiet zone that ISO/IEC 18004 asks for (four modules).
///
/// # Errors
/// When the text does not fit.
pub fn svg(text: &str) -> Result<String, QrError> {
    let picture = code(text)?
        .render::<svg::Color<'_>>()
        .min_dimensions(240, 240)
        .quiet_zone(true)
        .dark_color(svg::Color("#000000"))
        .light_color(svg::Color("#ffffff"))
        .build();
    // The XML declaration does not belong inside a page.
    Ok(picture
        .split_once("?>")
        .map_or(picture.clone(), |(_, rest)| rest.to_owned()))
}

/// A code as text for a terminal, dark on light.
///
/// # Errors
/// When the text does not fit.
pub fn terminal(text: &str) -> Result<String, QrError> {
    Ok(code(text)?
        .render::<unicode::Dense1x2>()
        .dark_color(unicode::Dense1x2::Light)
        .light_color(unicode::Dense1x2::Dark)
        .quiet_zone(true)
        .build())
}

/// What a phone's camera reads to join a Wi-Fi. The format is common practice (documented by several readers of
/// such codes): backslash before `\ ; , " :`, and `WPA` for WPA2 and WPA3 alike.
pub fn wifi(name: &str, password: Option<&str>) -> String {
    let escaped = |text: &str| -> String {
        text.chars()
            .flat_map(|c| {
                if matches!(c, '\\' | ';' | ',' | '"' | ':') {
                    vec!['\\', c]
                } else {
                    vec![c]
                }
            })
            .collect()
    };
    match password {
        Some(password) => format!("WIFI:T:WPA;S:{};P:{};;", escaped(name), escaped(password)),
        None => format!("WIFI:T:nopass;S:{};;", escaped(name)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wifi_text_escapes_what_readers_take_for_their_own() {
        assert_eq!(
            wifi("field", Some("a;b\\c")),
            "WIFI:T:WPA;S:field;P:a\\;b\\\\c;;"
        );
        assert_eq!(wifi("open:net", None), "WIFI:T:nopass;S:open\\:net;;");
    }

    #[test]
    fn too_long_a_text_is_refused_and_not_cut() {
        assert_eq!(svg(&"x".repeat(5000)), Err(QrError));
    }
}
