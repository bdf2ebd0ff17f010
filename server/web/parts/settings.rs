//! The part that says what the incident works with: every setting, and who is named as trained.

use askama::Template;
use serde_json::json;

use super::super::view::Moment;
use super::{Shown, Stage, draw};
use crate::incident::fact::NamedAs;
use crate::incident::setting::{Decides, Kind};
use crate::incident::{Role, Setting};
use crate::rules::bleeding::Role as Training;

struct SettingView {
    code: &'static str,
    words: &'static str,
    value: String,
    default: String,
    is_changed: bool,
    source: &'static str,
    by_adviser: bool,
    changed: Option<(Moment, String, String)>,
}

struct PersonView {
    name: String,
    training: &'static str,
    named: bool,
    /// What they can be named as: the button, its report, and what the undo bar says. What they are already is left
    /// out.
    namings: Vec<(&'static str, String)>,
}

/// What the lead has made of somebody, and the reports that change it.
struct AppointedView {
    name: String,
    role: &'static str,
    is_deputy: bool,
    /// Empty where they cannot be one.
    deputy_report: String,
    keeps_record: bool,
    witness_report: String,
}

#[derive(Template)]
#[template(path = "parts/settings.html")]
struct SettingsPart {
    groups: [(&'static str, Vec<SettingView>); 2],
    people: Vec<PersonView>,
    appointed: Vec<AppointedView>,
}

impl Stage<'_> {
    pub(in crate::web) fn settings(&self) -> Shown {
        let touched = self.incident.touched();
        self.show(
            "settings",
            None,
            touched.settings.max(touched.people),
            || {
                let (choices, numbers) = Setting::ALL
                    .into_iter()
                    .partition::<Vec<_>, _>(|setting| matches!(setting.kind(), Kind::Choice(_)));
                let views =
                    |all: Vec<Setting>| all.into_iter().map(|one| self.setting(one)).collect();
                draw(&SettingsPart {
                    groups: [
                        ("Choices where schools differ", views(choices)),
                        ("Times", views(numbers)),
                    ],
                    people: self.trained(),
                    appointed: self.appointed(),
                })
            },
        )
    }

    fn setting(&self, setting: Setting) -> SettingView {
        let settings = self.incident.settings();
        let value = setting.value_words(&setting.get(settings.now()));
        let default = setting.default_words();
        SettingView {
            code: setting.code(),
            words: setting.words(),
            is_changed: value != default,
            value,
            default,
            source: setting.source(),
            by_adviser: setting.decides() == Decides::MedicalAdviser,
            changed: settings.changed(setting).map(|changed| {
                let who = changed.decided_by.as_ref().map(ToString::to_string);
                let by = changed.by.to_string();
                (changed.at.into(), by, who.unwrap_or_default())
            }),
        }
    }

    fn appointed(&self) -> Vec<AppointedView> {
        let report =
            |fact: serde_json::Value| json!({ "about": "incident", "fact": fact }).to_string();
        self.incident
            .people()
            .filter(|person| person.role != Role::Viewer)
            .map(|person| {
                let device = person.device;
                let role = self.incident.role_of(device).unwrap_or(person.role);
                let is_deputy = role == Role::Deputy;
                let keeps_record = self.incident.keeps_record(device, role);
                AppointedView {
                    name: person.name.to_string(),
                    role: role.code(),
                    is_deputy,
                    deputy_report: if person.role == Role::Lead {
                        String::new()
                    } else {
                        report(json!({ "kind": "deputy.named/1", "helper": device, "deputy": !is_deputy }))
                    },
                    keeps_record,
                    witness_report: report(
                        json!({ "kind": "witness.chosen/1", "helper": device, "witness": !keeps_record }),
                    ),
                }
            })
            .collect()
    }

    fn trained(&self) -> Vec<PersonView> {
        let held = self.incident.settings().now();
        self.incident
            .people()
            .filter(|person| person.role.may(crate::incident::Deed::ReportCare))
            .map(|person| {
                let named = held.named.get(&person.device).copied();
                let training = held.training(person.device, Some(person.skill), Some(person.role));
                let report = |named_as: Option<NamedAs>| {
                    json!({ "about": "incident", "fact": { "kind": "helper.trained/2",
                        "helper": person.device, "named_as": named_as } })
                    .to_string()
                };
                let others = [
                    ("First aider", NamedAs::FirstAider),
                    ("Trained", NamedAs::Trained),
                    ("Medic", NamedAs::Medic),
                ];
                let others = others
                    .into_iter()
                    .filter(|(_, as_what)| as_what.training() != training)
                    .map(|(label, as_what)| (label, report(Some(as_what))));
                let back = named.map(|_| ("As they said", report(None)));
                PersonView {
                    name: person.name.to_string(),
                    training: match training {
                        Training::Medic => NamedAs::Medic.words(),
                        Training::TrainedLead => NamedAs::Trained.words(),
                        Training::FirstAider if named.is_some() => NamedAs::FirstAider.words(),
                        Training::FirstAider => person.skill.words(),
                    },
                    named: named.is_some(),
                    namings: others.chain(back).collect(),
                }
            })
            .collect()
    }
}
