//! TLS for devices an organisation owns: a certificate authority of this data folder's own, made on first use.
//!
//! Owns the authority's two files and the certificates made with it. Promises: the authority can vouch for nothing but
//! this board's names and private addresses (RFC 5280, 4.2.1.10), whoever gets hold of its key; its key is readable by the
//! owner of the folder alone; a certificate is made for the very address a device came in by, so that a hotspot may change
//! its address; certificates begin a day early, for clocks that are a little behind, and last less than 398 days, the
//! longest that devices take (from memory).

mod bounds;

use std::collections::HashMap;
use std::fs;
use std::io;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use jiff::{SignedDuration, Timestamp, tz::TimeZone};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose,
    GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose, NameConstraints, SanType,
};
use rustls::ServerConfig;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};

use bounds::Bounds;
pub use bounds::Warning;

/// Where devices fetch the authority.
pub const FILE: &str = "authority.crt";
const KEY: &str = "authority.key";
const DAY: SignedDuration = SignedDuration::from_hours(24);
const AUTHORITY_DAYS: i64 = 3 * 365;
const DEVICE_DAYS: i64 = 396;
/// Networks that are nobody's on the internet (RFC 1918, RFC 3927, RFC 4193, RFC 4291), and this machine itself.
const PRIVATE: [(&str, u8); 8] = [
    ("10.0.0.0", 8),
    ("172.16.0.0", 12),
    ("192.168.0.0", 16),
    ("169.254.0.0", 16),
    ("127.0.0.0", 8),
    ("fc00::", 7),
    ("fe80::", 10),
    ("::1", 128),
];

/// Why there is no TLS.
#[derive(Debug, thiserror::Error)]
pub enum TlsError {
    /// One of the two files.
    #[error("the authority's file {0} cannot be used: {1}")]
    File(PathBuf, io::Error),
    /// The two files are not what they should be.
    #[error(
        "the authority in {0} cannot be used: {1}. Put both of its files back from a copy, or remove authority.crt and authority.key there: another is made, and each tablet must trust that one. Without --tls the board starts as it is"
    )]
    Damaged(PathBuf, String),
    /// The key or a certificate could not be made.
    #[error("a certificate could not be made: {0}")]
    Making(#[from] rcgen::Error),
    /// The library refused what was made.
    #[error("the certificate cannot be used: {0}")]
    Using(#[from] rustls::Error),
    /// An address that this authority must not vouch for.
    #[error("{0} is no private address: this authority vouches for private networks only")]
    NotPrivate(IpAddr),
}

/// This folder's authority.
#[derive(Debug)]
pub struct Authority {
    certificate: CertificateDer<'static>,
    key: String,
    bounds: Bounds,
    /// Names that were asked for, and `localhost`.
    names: Vec<String>,
    made: Mutex<HashMap<IpAddr, Arc<ServerConfig>>>,
}

impl Authority {
    /// Takes up the folder's authority, or makes it.
    ///
    /// # Errors
    /// When its files cannot be read or written.
    pub fn of(folder: &Path, names: &[String], now: Timestamp) -> Result<Self, TlsError> {
        let (file, key_file) = (folder.join(FILE), folder.join(KEY));
        let damaged = |why| TlsError::Damaged(folder.to_owned(), why);
        let at = |path: &Path| {
            let (path, folder) = (path.to_owned(), folder.to_owned());
            move |error: io::Error| match error.kind() {
                io::ErrorKind::NotFound => {
                    TlsError::Damaged(folder, format!("{} is missing", path.display()))
                }
                _ => TlsError::File(path, error),
            }
        };
        let there = |path: &Path| path.try_exists().map_err(at(path));
        // Only where there is nothing of one: a half that is left is what tablets trust.
        if !there(&file)? && !there(&key_file)? {
            let key = KeyPair::generate()?;
            let made = authority(&key, names, now)?.self_signed(&key)?;
            private(&key_file, key.serialize_pem().as_bytes()).map_err(at(&key_file))?;
            private(&file, made.der()).map_err(at(&file))?;
        }
        let certificate = fs::read(&file).map_err(at(&file))?;
        let key = fs::read_to_string(&key_file).map_err(at(&key_file))?;
        let public = KeyPair::from_pem(&key).map_err(|error| damaged(error.to_string()))?;
        let bounds = Bounds::read(&certificate, public.public_key_raw()).map_err(damaged)?;
        Ok(Self {
            certificate: CertificateDer::from(certificate),
            key,
            bounds,
            names: own_names(names),
            made: Mutex::default(),
        })
    }

    /// What a person at this machine should know of it now.
    pub fn warnings(&self, now: Timestamp) -> Vec<Warning> {
        self.bounds.warn(&self.names, now)
    }

    /// The certificate devices are to trust, as they take it (DER).
    pub fn certificate(&self) -> &[u8] {
        &self.certificate
    }

    /// Its SHA-256, as devices show it, in groups: to be compared before trusting it.
    pub fn fingerprint(&self) -> String {
        let digest = ring::digest::digest(&ring::digest::SHA256, &self.certificate);
        let groups: Vec<String> = digest
            .as_ref()
            .chunks(2)
            .map(|two| format!("{:02X}{:02X}", two[0], two[1]))
            .collect();
        groups.join(" ")
    }

    /// What a connection that came in by this address is served with.
    ///
    /// # Errors
    /// When the address is not private, or the library refuses.
    pub fn serves(&self, address: IpAddr, now: Timestamp) -> Result<Arc<ServerConfig>, TlsError> {
        let address = address.to_canonical();
        let mut made = self
            .made
            .lock()
            .expect("OK because nothing panics while holding it");
        if let Some(known) = made.get(&address) {
            return Ok(Arc::clone(known));
        }
        if !is_private(address) {
            return Err(TlsError::NotPrivate(address));
        }
        // One name too many, and devices would refuse the rest with it.
        let names = self.names.iter().map(String::as_str);
        let names = names.filter(|name| self.bounds.cover(name));
        // A machine whose clock fell back, as one without a battery does, signs from when its authority was made: what
        // devices take for thirteen months from then.
        let now = now.max(self.bounds.from.saturating_add(DAY).unwrap_or(now));
        let config = Arc::new(self.issue(names, &[address], now)?);
        made.insert(address, Arc::clone(&config));
        Ok(config)
    }

    /// A certificate signed by the authority, whatever the names: what holds them in bounds is the authority's own
    /// certificate, on the device.
    ///
    /// # Errors
    /// When a name is none, or the library refuses.
    pub fn issue<'a>(
        &self,
        names: impl Iterator<Item = &'a str>,
        addresses: &[IpAddr],
        now: Timestamp,
    ) -> Result<ServerConfig, TlsError> {
        let key = KeyPair::from_pem(&self.key)?;
        let issuer = Issuer::new(authority(&key, &self.names, now)?, key);
        let own = KeyPair::generate()?;
        let mut params = CertificateParams::default();
        for name in names {
            params
                .subject_alt_names
                .push(SanType::DnsName(name.try_into()?));
        }
        let addresses = addresses.iter().copied().map(SanType::IpAddress);
        params.subject_alt_names.extend(addresses);
        params
            .distinguished_name
            .push(DnType::CommonName, "holdfast board");
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        last(&mut params, now, DEVICE_DAYS);
        let signed = params.signed_by(&own, &issuer)?;
        let chain = vec![signed.der().clone(), self.certificate.clone()];
        let secret = PrivateKeyDer::from(PrivatePkcs8KeyDer::from(own.serialize_der()));
        let mut config =
            ServerConfig::builder_with_provider(Arc::new(rustls::crypto::ring::default_provider()))
                .with_safe_default_protocol_versions()?
                .with_no_client_auth()
                .with_single_cert(chain, secret)?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(config)
    }
}

/// Says with which library this process's HTTP clients would encrypt. They do not start without, even for plain HTTP;
/// saying it again does nothing.
pub fn provide() {
    drop(rustls::crypto::ring::default_provider().install_default());
}

/// What a client of ours trusts: this authority (DER) and no other, within the names it may vouch for.
///
/// # Errors
/// When it is no authority's certificate.
pub fn trusts(authority: Vec<u8>) -> Result<rustls::ClientConfig, rustls::Error> {
    let mut roots = rustls::RootCertStore::empty();
    roots.add(CertificateDer::from(authority))?;
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    Ok(rustls::ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_root_certificates(roots)
        .with_no_client_auth())
}

/// The same at every start, so that what it signs names it rightly.
fn authority(
    key: &KeyPair,
    names: &[String],
    now: Timestamp,
) -> Result<CertificateParams, rcgen::Error> {
    let mut params = CertificateParams::new(Vec::new())?;
    let short: String = blake3::hash(key.public_key_raw())
        .to_hex()
        .chars()
        .take(8)
        .collect();
    params.distinguished_name.push(
        DnType::CommonName,
        format!("holdfast local authority {short}"),
    );
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    let names = own_names(names).into_iter().map(GeneralSubtree::DnsName);
    let networks = PRIVATE.iter().filter_map(|(address, prefix)| {
        let address = address.parse().ok()?;
        Some(GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(
            address, *prefix,
        )))
    });
    params.name_constraints = Some(NameConstraints {
        permitted_subtrees: names.chain(networks).collect(),
        excluded_subtrees: Vec::new(),
    });
    last(&mut params, now, AUTHORITY_DAYS);
    Ok(params)
}

/// `localhost` is always among them, so that the list of names is never empty: an empty one would allow every name.
fn own_names(names: &[String]) -> Vec<String> {
    let mut all = vec!["localhost".to_owned()];
    all.extend(names.iter().map(|name| name.to_ascii_lowercase()));
    all.dedup();
    all
}

/// From a day before now, for so many days.
fn last(params: &mut CertificateParams, now: Timestamp, days: i64) {
    let day = |offset: i64| {
        let at = now
            .saturating_add(SignedDuration::from_hours(24 * offset))
            .unwrap_or(now);
        let at = TimeZone::UTC.to_datetime(at).date();
        rcgen::date_time_ymd(
            i32::from(at.year()),
            at.month().unsigned_abs(),
            at.day().unsigned_abs(),
        )
    };
    params.not_before = day(-1);
    params.not_after = day(days);
}

fn is_private(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(v4) => v4.is_private() || v4.is_loopback() || v4.is_link_local(),
        IpAddr::V6(v6) => v6.is_loopback() || v6.is_unique_local() || v6.is_unicast_link_local(),
    }
}

/// For the folder's owner alone, and whole: it has its name only once it is on disk.
fn private(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let growing = file.with_extension("unfinished");
    write_private(&growing, bytes)?;
    fs::rename(growing, file)
}

fn write_private(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let mut file = options.open(file)?;
    io::Write::write_all(&mut file, bytes)?;
    file.sync_all()
}
