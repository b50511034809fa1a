//! The stage on which a definition plays: things, what they are like, what
//! they do, and how. None of these words changes which quantity is meant, so
//! that they are passed over. Words that do change it (wasted, useful, final,
//! greatest, relative, opposite ...) are in no list, on purpose.

/// Things that a quantity may belong to.
pub(super) const THINGS: &[&str] = &[
    "chemical midpoint but middle graph plot curve line axis either both electrostatic electrostatically us background planet moon beginning answer rotation oscillation vibration collision ultrasound dioptre condition example type sort one crest trough wavelet bit little way stuff someone everything em accelerator adult air-track aeroplane ammeter animal anode antenna apparatus arc arm arrangement",
    "arrow assembly astronaut athlete atmosphere axle bag ballast balloon bandage barrel barrier",
    "basket bath bead bearing bench blade boiler bolt bottle boundary bowl brake branch brick bubble",
    "bucket bullet bus button cabin calorimeter camera cannon capillary carbon carriage cart cathode cavity ceiling",
    "chain channel chip clamp clock cloud coin collector comet compass compound conductor connection",
    "connector converter cooker coolant copper cord corner count counterweight cup curve cushion decaying detector",
    "device disk drum dust dynamics edge elastic element elevator emitter engine equilibrium escalator",
    "event eyepiece family fan feature fence filter flame flask flight flywheel focus foil footprint freezer",
    "fridge friend front furnace galaxy gap gauge gear glider gold grating gravity grid ground gun gyroscope",
    "handle harness heart helicopter hill hook horse hydrogen image inductor infinity ink installation",
    "instrument insulation isotope jar jet joint kettle ladder lattice law leg lift liquid location",
    "loudspeaker magnet man manner marble mark marker material matter medium mercury",
    "metal microphone mirror mixture moderator molecule mount mountain mug muscle needle neutrino neutron nitrogen",
    "node object observer ocean oil operator orbit origin oven oxygen pan panel parachute path",
    "pedal pen pencil pendulum people phenomenon pin pipe plastic player pointer pool position post pot powder",
    "principle probe projectile propeller property pulley pump quantity quark rail railway ramp raindrop",
    "reactor rectifier reference refrigerator relationship resistor rest rig ring river road robot roller",
    "roof room rotor route sail sample sand satellite scale scene screen screw seat seesaw semiconductor",
    "setting shaft shell shock shore shoulder signal silicon silver situation skateboard skater skier sled sledge",
    "slider slope soil solar source spacecraft spaceship spanner spectrum spot stage stand star stick",
    "stone strand street string structure stuff suitcase surface swing swimmer switch system tape",
    "target team telescope thermometer thing thrower toaster torch tower town toy track tractor traffic",
    "transistor transmitter tree triangle tungsten tunnel turbine turning-point turntable tyre universe user uv valve",
    "van vehicle vertex visible voltmeter walker wall water wavefront waveform wax weighing wedge wheel",
    "whole window wing winding wire woman working world xray yard zone reservoir container vessel",
    "ultraviolet infrared gamma-ray x-ray microwave radio photoelectron conduction electrolyte terminal junction",
    "neighbourhood vicinity presence surrounding surroundings configuration orientation geometry",
    "individual constituent proton nucleon particle packet bundle lump piece portion",
    "equation statement definition meaning magnitude cross-section",
    "equipment measurement experiment experimenter laboratory lab scientist physicist engineer teacher student",
    "oscillating straight-line gas cylinder plunger diaphragm membrane",
    "cell tissue organ patient lung blood vein artery transducer crystal",
    "pitch turn coil loop solenoid pole field-line flux-line carrier ion",
];

/// What things are like: passed over before a thing, never before a quantity
/// ("straight wire", but "straight-through energy" is not known).
pub(super) const KINDS: &[&str] = &[
    "soft hard present straight long thin thick large big bigger smaller heavy massive bare smooth rough rigid flexible",
    "flat round circular spherical cylindrical rectangular sloping inclined curved",
    "narrow wide broad short tall deep shallow solid hollow dense charged uncharged neutral ohmic",
    "non-ohmic conducting insulating superconducting semiconducting ferrous flowing running spinning rotating",
    "revolving orbiting vibrating swinging accelerating travelling discharging charging",
    "radioactive fissile unstable stable monatomic atomic molecular subatomic elementary fundamental",
    "point-like pointlike bright dark transparent opaque",
    "optical transverse longitudinal progressive standing coherent monochromatic periodic",
    "identical similar specific typical nearby distant remote imaginary theoretical",
    "hypothetical practical real perfect entire infinite infinitesimal infinitesimally finite",
    "loose tight taut suspended hanging discrete chosen named stated",
    "specified defined prescribed relevant appropriate concerned involved considered",
];

/// What things do or what is done to them, as plain verbs: the other forms
/// are made by rule.
pub(super) const VERBS: &[&str] = &[
    "act apply exert feel experience put place situate locate keep hold bring move carry pass flow store transfer",
    "transmit supply give do convert transform deliver provide release receive emit radiate fall reach arrive",
    "raise warm heat travel cover sweep rotate produce cause make get occupy measure undergo oppose drop",
    "drive push pull link cross happen occur take melt boil vaporise freeze condense evaporate complete enter",
    "leave go spread remove escape eject liberate exist shine illuminate strike hit meet dissolve solidify",
    "attract attach hang suspend begin start stop end come send connect join circulate spin revolve",
    "oscillate vibrate repeat propagate advance progress deform bend twist squash support lower",
    "pack correct obey turn look knock shift leap jump pick squeeze suck sweep throw kick catch roll slide slip climb walk run swim fly ride ship fill empty pour inject",
    "let allow enable permit need require demand expect consider imagine suppose assume obtain find",
    "calculate compute determine evaluate define describe express state quote represent indicate",
    "show tell denote correspond refer relate belong consist comprise include involve concern depend follow",
    "observe see notice detect record note intercept land stay lie sit remain",
    "respond react interact collide impact bounce separate split break dismantle disassemble detach",
    "assemble form create generate use dissipate feed discharge maintain",
    "sustain accompany associate possess own contain enclose surround bound bridge span set establish",
    "introduce insert immerse expose subject direct aim face orient align",
    "obey satisfy conform know understand call term name say mean become constitute try tend",
    "want help serve perform undertake achieve bear press rub touch grip contact impinge penetrate traverse",
];

/// How, where and how surely.
pub(super) const MANNER: &[&str] = &[
    "completely entirely fully wholly thoroughly exactly precisely strictly specifically essentially effectively",
    "generally commonly typically mathematically formally scientifically physically algebraically",
    "quantitatively conventionally successively continuously repeatedly uniformly steadily gradually perfectly",
    "individually separately independently collectively jointly altogether",
    "internally externally thermally radioactively spontaneously",
    "actually certainly clearly obviously naturally necessarily equally equivalently alternatively",
    "approximately roughly about perhaps probably purely merely just quite rather very indeed",
    "here there anywhere everywhere somewhere elsewhere away back forth forward forwards backwards onward",
    "around throughout amid among amongst alongside beside besides above below beneath behind past via onto",
    "provided providing assuming now meanwhile during whilst while though although however",
];

/// The forms of a plain verb: `carry`, `carries`, `carried`, `carrying`.
pub(super) fn forms(verb: &str) -> Vec<String> {
    const IRREGULAR: &[(&str, &[&str])] = &[
        ("feel", &["felt"]),
        ("put", &["put", "putting"]),
        ("keep", &["kept"]),
        ("hold", &["held"]),
        ("bring", &["brought"]),
        ("give", &["gave", "given"]),
        ("do", &["does", "did", "done"]),
        ("fall", &["fell", "fallen"]),
        ("sweep", &["swept"]),
        ("make", &["made"]),
        ("get", &["got", "getting"]),
        ("undergo", &["undergoes", "underwent", "undergone"]),
        ("drive", &["drove", "driven"]),
        ("hit", &["hit", "hitting"]),
        ("take", &["took", "taken"]),
        ("freeze", &["froze", "frozen"]),
        ("leave", &["left"]),
        ("go", &["goes", "went", "gone"]),
        ("spread", &["spread"]),
        ("shine", &["shone"]),
        ("strike", &["struck"]),
        ("meet", &["met"]),
        ("hang", &["hung"]),
        ("begin", &["began", "begun", "beginning"]),
        ("come", &["came"]),
        ("send", &["sent"]),
        ("spin", &["spun", "spinning"]),
        ("swing", &["swung"]),
        ("bend", &["bent"]),
        ("throw", &["threw", "thrown"]),
        ("catch", &["caught"]),
        ("run", &["ran", "running"]),
        ("swim", &["swam", "swimming"]),
        ("fly", &["flew", "flown"]),
        ("ride", &["rode", "ridden"]),
        ("let", &["let", "letting"]),
        ("find", &["found"]),
        ("show", &["shown"]),
        ("tell", &["told"]),
        ("see", &["saw", "seen"]),
        ("lie", &["lay", "lying"]),
        ("sit", &["sat", "sitting"]),
        ("stand", &["stood"]),
        ("split", &["split", "splitting"]),
        ("break", &["broke", "broken"]),
        ("draw", &["drew", "drawn"]),
        ("feed", &["fed"]),
        ("set", &["set", "setting"]),
        ("lead", &["led"]),
        ("know", &["knew", "known"]),
        ("understand", &["understood"]),
        ("say", &["said"]),
        ("mean", &["meant"]),
        ("become", &["became"]),
        ("bear", &["bore", "borne"]),
        ("refer", &["referred", "referring"]),
        ("occur", &["occurred", "occurring"]),
        ("stop", &["stopped", "stopping"]),
        ("drop", &["dropped", "dropping"]),
        ("transfer", &["transferred", "transferring"]),
        ("transmit", &["transmitted", "transmitting"]),
        ("emit", &["emitted", "emitting"]),
        ("travel", &["travelled", "travelling"]),
        ("propel", &["propelled", "propelling"]),
        ("slip", &["slipped", "slipping"]),
        ("permit", &["permitted", "permitting"]),
        ("grip", &["gripped", "gripping"]),
        ("span", &["spanned", "spanning"]),
        ("rub", &["rubbed", "rubbing"]),
    ];
    let mut made = vec![verb.to_owned()];
    if let Some((_, others)) = IRREGULAR.iter().find(|(own, _)| *own == verb) {
        made.extend(others.iter().map(|form| (*form).to_owned()));
    }
    let stem = verb.strip_suffix('e').filter(|stem| !stem.ends_with('e'));
    let consonant_y = verb
        .strip_suffix('y')
        .filter(|stem| !stem.ends_with(['a', 'e', 'o', 'u']));
    made.push(format!("{}ing", stem.unwrap_or(verb)));
    if let Some(stem) = consonant_y {
        made.push(format!("{stem}ied"));
        made.push(format!("{stem}ies"));
    } else {
        made.push(format!("{}ed", stem.unwrap_or(verb)));
        made.push(format!("{verb}s"));
        if verb.ends_with(['s', 'x']) || verb.ends_with("sh") || verb.ends_with("ch") {
            made.push(format!("{verb}es"));
        }
    }
    made
}
