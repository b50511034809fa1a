//! Words of a definition that say nothing about its algebra. A word that is
//! in no list is not passed over: the sentence is then not judged.

/// Left out before anything is compared.
pub(super) const ARTICLES: [&str; 16] = [
    "the", "a", "an", "its", "it", "this", "that", "these", "those", "their", "his", "her", "your",
    "any", "some", "such",
];

/// Words after which something is described and does not take part in the
/// algebra: "on a charge", "when a current flows".
pub(super) const CLAUSE: &[&str] = &[
    // Small words.
    "in on at by from through between across when whenever if as while for with into onto within",
    "under upon against along around about where which who whose of during via inside outside near",
    "so than because due out off up down there towards toward is are was were be been being to",
    "then after before until once needed required necessary taken used spent able in-order has have",
    // What is done to or by things.
    "acting acts act acted exerted exert exerts exerting applied apply applies applying felt feel",
    "feels experienced experience experiences experiencing placed put situated located kept held",
    "bring brings bringing brought move moves moving moved carry carries carrying carried",
    "pass passes passing passed flow flows flowing flowed stored store stores storing transferred",
    "transfer transfers transferring transmitted transmits supplied supply supplies supplying given",
    "give gives giving done do does doing converted convert converts converting transformed",
    "delivered deliver delivers provided provides released received receive receives",
    "receiving emitted emit emits emitting radiated radiate radiates incident falling falls reaching",
    "arriving raise raises raising raised warm warms warming warmed heat heats heating heated",
    "increase increases increasing change changes changing turned turns turn turning travelled",
    "travels travelling traveled covered swept rotated rotates rotating produced produces produce",
    "producing causes cause causing caused made make makes making got get gets getting",
    "separated separates separate accumulated held contained contains ",
    "possessed occupied occupies occupying measured measures perceived undergoes undergoing",
    "opposing opposes drop drops dropped driving drives drive",
    "pushing push pushes pulling pulls ",
    "enclosed enclosing linking links cutting crossing crosses",
    "decay decays decaying disintegrate happening happens occurring occur occurs taking takes take",
    "takes place melt melting boil boiling vaporise freeze condense evaporate completed completes",
    "entering enters entered leaving leaves leave going goes go spread spreads",
    "remove removes removed removing escape escapes escaping release releases released releasing free",
    "frees freed eject ejects ejected ejecting emission liberate liberates liberated melted boiled",
    "past beyond per-formed performed exists exist existing travel travelling shone shines shining",
    "illuminates illuminated strikes striking hits hitting meets meeting covers receiving stores",
    "dissolve vaporised evaporated solidify frozen turning-into provided provide providing powers",
    "attracted attracts attract attracting repelled attached attaching hung hanging suspended",
    "begins begin starts start started stops stop ends end comes come coming sent sends sending",
    "makes up made-of varies vary varying halve charged charging discharged discharging",
    "found spreading spread exchanged expended expends used-up using use uses",
    "elapses elapsed spends stays stay remains remain becomes become results resulting",
    "round throughout behind below above beneath beside among opposite-to together-with without-loss",
    "changed hold holds holding drives driven cover lasts lasted lasting rubs slides slid sliding",
    "climbs lifts lifting lifted pushed pulled hung hangs sits sitting lies lying stands standing",
    "oscillates oscillating vibrates vibrating spins spinning orbits orbiting swings swinging",
    "conducts conducting resists resisting opposed accelerates accelerating slows speeds decelerates",
    "flowing-through leads lead leading reaches reached reach arrives arrive hit strike landing lands",
    "contact collides collide collision interaction impact application connected connects connecting",
    "joined joins joining attached wound wrapped fitted filled fills filling marked points pointing",
    "seen observed detected recorded heard viewed looking looked compared relative associated",
    "involved concerned considered depends depending according owing thanks",
    "enough sufficient possible available able needed-to allows allow allowed lets let permits",
    "show shows shown tells tell telling describes describe describing gives-rise represents",
    "operates operate operating working works runs running switched closed open complete",
    "produce generates generate generated generating creates create created creating",
    "shared distributed divided-among collected collects gathered built",
    "direction directions discharge discharges extends past-the",
    "undergo undergone suffer suffers suffered feels-the goes-through",
    "defined equal multiplied written expressed calculated found called known stated said",
];

/// Words that describe when they come after a quantity ("when it is stretched")
/// and make another quantity of it when they stand before one ("stretched
/// length", "lost energy").
pub(super) const ALTERS: &[&str] = &[
    "stretched stretching extended extending compressed deformed lost losing gained dissipated wasted",
    "absorbed reflected emitted remaining displaced scattered missing unused excess spare heated cooled",
    "starting initial final original maximum minimum peak greatest largest highest smallest lowest least",
    "melted frozen boiled accelerated disturbed distorted loaded broken shortened lengthened reduced",
];

/// Phrases that describe.
pub(super) const PHRASES: &[&str] = &[
    "no change of state",
    "no change in state",
    "without change of state",
    "without a change of state",
    "without changing state",
    "without changing its state",
    "point of application",
    "limit of proportionality",
    "elastic limit",
    "line of action",
    "at any instant",
    "per se",
    "or object",
    "or body",
    "and direction",
    "magnitude and",
];

/// Words that add nothing.
pub(super) const PLAIN: &[&str] = &[
    // Kinds of thing.
    "body object thing conductor wire component resistor device material substance sample specimen",
    "source cell battery circuit point place position field surface particle system circle axis plane",
    "pivot line action fluid gas liquid solid plate capacitor spring coil lens planet star observer",
    "electron rod bar beam machine engine load end other another two both terminal side region",
    "space medium wave molecule carrier atom proton amount quantity value size magnitude number-of",
    "cross section interval measure way part one per-se itself themselves them they he she we you",
    "thickness-wise motion movement lamp bulb appliance electrode supply input-side process",
    "nucleus nuclide isotope radioactive unstable undecayed parent radiation light ray beam photon",
    "electromagnetic sound sonic air vacuum water glass metal metallic ice hand aperture sky detector",
    "receiver transmitter antenna ear eye screen slit fringe edge corner top bottom centre center",
    "middle base axle hinge fulcrum door lever spanner string rope cable thread block trolley vehicle",
    "car train ball stone rocket satellite moon sun earth ground floor wall tube pipe hose cylinder",
    "sphere disc wheel turntable piston container tank vessel chamber bath loop winding core magnet",
    "solenoid dielectric insulator battery pole plug socket appliance heater kettle filament cable",
    "crystal lattice bond grain ion positive ion helium hydrogen alpha beta gamma",
    "steady uniform vertical horizontal direct fraction number average mean ratio-of instant moment-in",
    "second-hand first last next previous component path track route orbit turn revolution course",
    "stretching tensile compressive pushing pulling loaded free-end fixed resting moving-part",
    "contact collision something someone anything item end face ends pair capacitor-plate reservoir",
    "limit proportionality application full complete whole-number cycle-of electricity supply mains",
    "generator dynamo motor transformer primary secondary diode led thermistor resistor load bulb",
    "electromagnet pendulum oscillator mass-spring structure building bridge shelf table surface-of",
    "boat ship plane aircraft bicycle person runner athlete student child passenger driver crate box",
    "block-of log plank ladder crane hammer nail bat racket golf football tennis puck cart truck lorry",
    "state solid-liquid phase vapour steam liquid-gas substance-s solution mixture alloy copper iron",
    "aluminium steel rubber plastic wood paper sheet film layer foil strip ribbon thread fibre",
    "tissue skin bone fat muscle gel boundary interface crest-of detector scintillator counter",
    "shell orbital level lamp torch laser beam-of bundle stream jet flow current-of sort part parts",
    "charges masses electricity-of inside outside environment surroundings universe world planet's",
    "section length-wise side-by-side half-way far near close far-away distance-away opposite-end",
    "other forms another form kind kinds sorts types purpose sense terms word words symbol formula",
    "formulae equation letter call say think describe idea concept factor number-s rule law hooke",
    "ohm newton's hooke's faraday kirchhoff young charge's standard usual ordinary common simple pure",
    "ideal perfect real-life normal-ly everyday actual true proper correct exact precise accurate",
    "moving resting stationary fixed free isolated closed open continuous repeated regular",
    "quickly fast rapidly slowly how-quickly strongly easily directly freely smoothly evenly uniformly",
    "really basically therefore hence thus i.e e.g eg etc ok okay well about",
    "if-any also too both even still yet once again",
    // Words of degree and of manner.
    "total given particular certain single whole small tiny test unit-sized positive stationary",
    "point-like very only just also always each every all same respective corresponding own",
    "electric electrical electrically magnetic gravitational gravity mechanical mechanically physical",
    "constant-ly external applied resulting overall net together numerically basically",
    "usually originally actual original particular scalar vector property i.e. ie namely",
    "called term known often can could may must would will should",
    "much many how what well again divided-up form forms kind type types basis",
];
