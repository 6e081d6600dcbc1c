//! Random scenarios that pass validation: every medium and mix, shape, wall, outlet, schedule, start, root and demand.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use slakeline::engine::column::layers::Column;
use slakeline::engine::column::start;
use slakeline::scenario::presets::Library;
use slakeline::scenario::resolve;
use slakeline::scenario::*;

/// A random scenario of one lane and one day.
pub fn scenario() -> impl Strategy<Value = Scenario> {
    let events = vec(event(), 0..12);
    (lane(), events, feed_ec(), 0.0..8.0, light(), climate(), calls()).prop_map(|(lane, events, ec, evaporation, light, climate, calls)| {
        let mut scenario = Scenario {
            format: FORMAT,
            name: "random".to_owned(),
            note: String::new(),
            days: 1,
            light,
            evaporation_mm_per_day: evaporation,
            feed: Feed { ec },
            valves: vec![Valve::only(laid_out(events))],
            pump: None,
            tank: None,
            lanes: vec![if climate.is_some() { under_climate(lane) } else { lane }],
            climate,
            solver: Solver::default(),
            changed_from: std::collections::BTreeMap::new(),
        };
        calls.onto(&mut scenario);
        scenario
    })
}

/// A random scenario in which values meet that switches of the engine compare, each of them half the time: start, feed, an event and
/// the crop's uptake EC; heads and zero; outlet and the edge of a layer; end and beginning of events; a probe's reading and its rule's
/// mark.
pub fn coincidence() -> impl Strategy<Value = Scenario> {
    (scenario(), vec(any::<bool>(), 7), 0.0..1.0).prop_map(|(mut scenario, meets, place)| {
        let library = Library::shipped();
        let lane = &mut scenario.lanes[0];
        let crop = resolve::crop(&lane.crop, &library).unwrap();
        // One of the two bends of what uptake carries.
        let uptake_ec = if place < 0.7 { crop.uptake_ec } else { crop.rises_above().unwrap_or(crop.uptake_ec) };
        if meets[0] {
            lane.start.salt = StartSalt::Ec(uptake_ec);
        }
        if meets[1] {
            scenario.feed.ec = uptake_ec;
        }
        if meets[2] {
            lane.start.water = StartWater::Head(0.0);
        }
        let column = |lane: &Lane| Column::build(lane, &Solver::default(), &library).unwrap();
        if meets[3] {
            let layers = column(lane).layers;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
            let edge = &layers[(place * (layers.len() - 1) as f64) as usize];
            lane.container.outlet_height_cm = edge.z + 0.5 * edge.dz;
        }
        for (i, event) in scenario.valves[0].schedule.iter_mut().enumerate().filter(|_| meets[4]) {
            event.ec = (i % 2 == 0).then_some(uptake_ec);
        }
        if meets[5] {
            let events = scenario.valves[0].schedule.iter().map(|e| (0, *e)).collect();
            scenario.valves[0].schedule = laid_out(events);
        }
        if meets[6] {
            let height = lane.container.height_cm();
            lane.probe = Some(Probe { height_cm: 0.5 * height, length_cm: 0.5 * height });
            let column = column(lane);
            let reading = column.probe_reading(&start::state(&column, &lane.start, scenario.feed.ec).theta).clamp(0.01, 0.99);
            let when = When::Dry { lane: lane.name.clone(), falls_to: reading, pause_s: 0 };
            let (first, last) = (Clock::MIDNIGHT, Clock::hm(22, 0));
            scenario.valves[0].rules = vec![Rule { when, first, last, seconds: 300, give: Give::Drip { ml: 20.0 }, ec: Some(uptake_ec) }];
        }
        scenario
    })
}

/// Now and then a probe, rules, a tank.
#[derive(Clone, Debug)]
struct Calls {
    dry: Option<f64>,
    light: Option<f64>,
    tank: Option<Tank>,
}

fn calls() -> impl Strategy<Value = Calls> {
    let filled = prop_oneof![Just(Filled::Always), Just(Filled::Never), (0_u32..86_000).prop_map(|s| Filled::At(Clock::from_seconds(s)))];
    let refill = prop_oneof![Just(Refill::Feed), (0.0..2.0).prop_map(|ec| Refill::Water { ec })];
    let tank = (1.0..100.0, option::of(0.0..5.0), refill, filled, any::<bool>())
        .prop_map(|(litres, start_ec, refill, filled, drain_returns)| Tank { litres, start_ec, refill, filled, drain_returns });
    let rare = |s: BoxedStrategy<f64>| prop_oneof![4 => Just(None), 1 => s.prop_map(Some)];
    (rare((0.2..0.8).boxed()), rare((20.0..500.0).boxed()), prop_oneof![4 => Just(None), 1 => tank.prop_map(Some)])
        .prop_map(|(dry, light, tank)| Calls { dry, light, tank })
}

impl Calls {
    fn onto(self, scenario: &mut Scenario) {
        let rule = |when| {
            let (first, last) = (Clock::hm(5, 0), Clock::hm(22, 0));
            Rule { when, first, last, seconds: 300, give: Give::Drip { ml: 80.0 }, ec: None }
        };
        if let Some(falls_to) = self.dry {
            let height = scenario.lanes[0].container.height_cm();
            scenario.lanes[0].probe = Some(Probe { height_cm: 0.4 * height, length_cm: 0.5 * height });
            scenario.valves[0].rules.push(rule(When::Dry { lane: scenario.lanes[0].name.clone(), falls_to, pause_s: 1200 }));
        }
        if let Some(sum) = self.light.filter(|_| scenario.climate.is_some()) {
            scenario.valves[0].rules.push(rule(When::Light(LightSum::Joules(sum))));
        }
        scenario.tank = self.tank;
    }
}

/// Now and then a climate, as a typical day or as a log of any step.
fn climate() -> impl Strategy<Value = Option<Climate>> {
    let air = || (0.0..40.0, 5.0..=100.0).prop_map(|(celsius, humidity_percent)| Air { celsius, humidity_percent });
    let level = prop_oneof![
        (0.0..35.0).prop_map(|mj_per_m2| LightLevel::Sun { mj_per_m2 }),
        (0.0..1500.0, prop_oneof![Just(Lamp::Led), Just(Lamp::Sodium)]).prop_map(|(ppfd, lamp)| LightLevel::Lamps { ppfd, lamp }),
    ];
    let typical = (level, air(), air()).prop_map(|(level, by_day, by_night)| {
        Climate::Typical(TypicalDay { name: "random".to_owned(), source: String::new(), level, by_day, by_night })
    });
    let row = (0_u32..600, 0.0_f32..1000.0, 0.0_f32..40.0, 5.0_f32..100.0);
    let log = (60_u32..3600, vec(row, 1..60)).prop_map(|(step, rows)| {
        let rows: Vec<LogRow> =
            (0_u32..).zip(rows).map(|(i, (late, light, t, rh))| LogRow(i * (step + 600) + late, light, t, rh)).collect();
        Climate::Log(ClimateLog { name: "random".to_owned(), source: String::new(), lamp: None, rows: rows.into() })
    });
    prop_oneof![3 => Just(None), 1 => typical.prop_map(Some), 1 => log.prop_map(Some)]
}

/// A lane whose use is computed, where its crop has a canopy.
fn under_climate(lane: Lane) -> Lane {
    if matches!(&lane.crop, CropChoice::Custom(crop) if crop.canopy.is_none()) {
        return lane;
    }
    let Demand::Measured { litres_per_day, .. } = lane.demand else { return lane };
    let demand = Demand::Climate { leaf_area_index: None, plants_per_m2: None, scale: litres_per_day.clamp(0.05, 4.0) };
    Lane { demand, ..lane }
}

fn feed_ec() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 6 => 0.1..6.0]
}

fn light() -> impl Strategy<Value = Light> {
    (0_u32..12, 1_u32..12, prop_oneof![Just(LightShape::Sun), Just(LightShape::Lamps)]).prop_map(|(on, hours, shape)| Light {
        on: Clock::hm(on, 0),
        off: Clock::hm(on + hours, 0),
        shape,
    })
}

/// An event and the pause before it, s; now and then none.
pub fn event() -> impl Strategy<Value = (u32, Event)> {
    let give = prop_oneof![
        4 => (0.1_f64..1500.0).prop_map(|ml| Give::Drip { ml }),
        1 => (0.1_f64..60.0).prop_map(|depth_cm| Give::Flood { depth_cm }),
    ];
    let seconds = prop_oneof![5_u32..60, 60_u32..1200, 1200_u32..14_400];
    let pause = prop_oneof![1 => Just(0_u32), 4 => 1_u32..18_000];
    (pause, give, seconds, option::of(0.0..8.0), on_days())
        .prop_map(|(pause, give, seconds, ec, days)| (pause, Event { start: Clock::MIDNIGHT, seconds, give, ec, days }))
}

/// Every day, or now and then every so many.
fn on_days() -> impl Strategy<Value = OnDays> {
    let seldom = prop_oneof![Just(2_u32), Just(3), Just(7), Just(14)].prop_flat_map(|every| (Just(every), 1..=every));
    prop_oneof![9 => Just(OnDays::ALL), 2 => seldom.prop_map(|(every, from)| OnDays { every, from })]
}

/// Puts events one after another; those past midnight are left out.
pub fn laid_out(events: Vec<(u32, Event)>) -> Vec<Event> {
    let (mut at, mut out) = (0, Vec::new());
    for (pause, event) in events {
        at += pause;
        if at + event.seconds <= 86_400 {
            out.push(Event { start: Clock::from_seconds(at), ..event });
            at += event.seconds;
        }
    }
    out
}

fn lane() -> impl Strategy<Value = Lane> {
    let container = (vec(part(), 1..4), prop_oneof![3 => Just(0.0), 1 => 0.0..0.9]);
    let litres = prop_oneof![1 => Just(0.0), 5 => 0.01..4.0];
    let run_in_days = prop_oneof![4 => Just(None), 1 => (1_u32..4).prop_map(Some)];
    let start = (start_water(), start_salt(), run_in_days);
    let plant = (crop(), litres, 0.0..=1.0, roots());
    (container, plant, start, 0.2..4.0, any::<bool>()).prop_map(
        |((parts, outlet), (crop, litres, steady, roots), (water, salt, run_in_days), dose, exchange)| {
            let mut container = Container { name: "random".to_owned(), source: String::new(), parts, outlet_height_cm: 0.0 };
            container.outlet_height_cm = outlet * container.height_cm();
            let counts = Solver::default().layers_of(&container);
            Lane {
                name: "random".to_owned(),
                plants: 1,
                valve: 0,
                roots: roots.on(&container, counts.iter().sum()),
                start: Start { water: water.on(&container, &counts), salt: salt.on(counts.iter().sum()), run_in_days },
                container,
                crop,
                demand: Demand::Measured { litres_per_day: litres, steady_share: steady },
                dose,
                targets: Targets::default(),
                probe: None,
                exchange,
                boundaries: Boundaries::default(),
            }
        },
    )
}

fn part() -> impl Strategy<Value = Part> {
    let side = || 4.0..40.0_f64;
    let shape = prop_oneof![
        (side(), side()).prop_map(|(length_cm, width_cm)| Shape::Rectangular { length_cm, width_cm }),
        side().prop_map(|diameter_cm| Shape::Round { diameter_cm }),
        ((side(), side()), (side(), side())).prop_map(|(bottom_cm, top_cm)| Shape::TaperedRectangular { bottom_cm, top_cm }),
        (side(), side()).prop_map(|(bottom_diameter_cm, top_diameter_cm)| Shape::TaperedRound { bottom_diameter_cm, top_diameter_cm }),
    ];
    let walls = prop_oneof![Just(Walls::Wrapped), Just(Walls::Open), Just(Walls::Fabric)];
    let exposed = || option::of(0.0..=1.0);
    (1.0..30.0, shape, 1_u32..4, medium(), walls, exposed(), exposed()).prop_map(
        |(height_cm, shape, shared_by, medium, walls, top_exposed, wall_exposed)| Part {
            name: "part".to_owned(),
            height_cm,
            shape,
            shared_by,
            medium,
            walls,
            top_exposed,
            wall_exposed,
        },
    )
}

fn preset_medium() -> impl Strategy<Value = String> {
    proptest::sample::select(Library::shipped().media.into_iter().map(|m| m.name).collect::<Vec<_>>())
}

fn medium() -> impl Strategy<Value = MediumChoice> {
    let mix = (preset_medium(), preset_medium(), 5.0..95.0).prop_map(|(a, b, percent)| {
        let component = |medium: String, percent| Component { medium, percent };
        MediumChoice::Mix(vec![component(a, percent), component(b, 100.0 - percent)])
    });
    prop_oneof![4 => preset_medium().prop_map(MediumChoice::Preset), 2 => mix, 1 => custom_medium()]
}

/// A medium of the user's own: any curve that validation takes, wider than the shipped ones.
fn custom_medium() -> impl Strategy<Value = MediumChoice> {
    prop_oneof![2 => van_genuchten_medium(), 1 => other_medium()]
}

/// An own medium after Gardner or Haverkamp, down to conductivities of hardly anything.
fn other_medium() -> impl Strategy<Value = MediumChoice> {
    let theta = (0.3..0.97, 1e-3..0.25);
    let gardner = (theta.clone(), -3.0..-2.03, 0.0..5.0).prop_map(|((theta_s, theta_r), log_a, log_ks): ((f64, f64), f64, f64)| {
        Curve::Gardner { theta_s, theta_r, a_per_cm: 10_f64.powf(log_a), ks_cm_per_day: 10_f64.powf(log_ks) }
    });
    let haverkamp = (theta, 1.0..7.0, 1.2..6.0, 1.0..7.0, 1.5..8.0, 0.0..5.0).prop_map(
        |((theta_s, theta_r), log_alpha, beta, log_a, gamma, log_ks): ((f64, f64), f64, f64, f64, f64, f64)| Curve::Haverkamp {
            theta_s,
            theta_r,
            alpha: 10_f64.powf(log_alpha),
            beta,
            a: 10_f64.powf(log_a),
            gamma,
            ks_cm_per_day: 10_f64.powf(log_ks),
        },
    );
    let rest = (prop_oneof![1 => Just(1.0), 3 => 1.0..3.0], 0.0..0.5);
    let fit = prop_oneof![gardner, haverkamp].prop_filter("a curve that a plant can dry", |curve| curve.unfit_for_plants().is_none());
    (fit, rest).prop_map(|(curve, (ratio, channelling))| {
        MediumChoice::Custom(Box::new(Medium {
            name: "random".to_owned(),
            source: String::new(),
            porosity: curve.theta_s() + 0.02,
            curve,
            hysteresis_ratio: ratio,
            capillary_height_cm: None,
            channelling,
            channel_pick_up: 0.0,
            bulk_density_kg_m3: 120.0,
            cec_cmol_kg: 0.0,
            exchange_ml_per_g: 0.0,
            dispersivity_cm: 1.0,
            diffusion_cm2_s: 1e-5,
            told_at_cm: None,
        }))
    })
}

/// An own medium after van Genuchten.
fn van_genuchten_medium() -> impl Strategy<Value = MediumChoice> {
    let curve = (0.3..0.97, 1e-3..0.25, -2.0..-0.2, 1.15..6.0, 1.5..5.0);
    let pick_up = prop_oneof![Just(0.0), Just(1.0), 0.0..1.0];
    let rest = (1.0..3.0, option::of(0.0..2.0), (0.0..=0.9, pick_up), 0.0..5.0, 0.0..5.0, 0.0..1e-3);
    // The steepest curve that validation takes depends on α.
    let steepest = |log_alpha: f64| -> f64 { 0.999 * (1.0 + 7.0 / (3.0 + log_alpha)) };
    let curve = curve.prop_map(move |(theta_s, theta_r, log_alpha, n, log_ks): (f64, f64, f64, f64, f64)| {
        (theta_s, theta_r, log_alpha, f64::min(n, steepest(log_alpha)), log_ks)
    });
    (curve, rest).prop_map(|((theta_s, theta_r, log_alpha, n, log_ks), (ratio, held, channel, exchange, dispersivity, diffusion))| {
        MediumChoice::Custom(Box::new(Medium {
            name: "random".to_owned(),
            source: String::new(),
            porosity: theta_s + 0.02,
            curve: Curve::VanGenuchten {
                theta_s,
                theta_r,
                alpha_per_cm: 10_f64.powf(log_alpha),
                n,
                ks_cm_per_day: 10_f64.powf(log_ks),
                l: 0.5,
            },
            hysteresis_ratio: ratio,
            capillary_height_cm: held,
            channelling: channel.0,
            channel_pick_up: channel.1,
            bulk_density_kg_m3: 120.0,
            cec_cmol_kg: 0.0,
            exchange_ml_per_g: exchange,
            dispersivity_cm: dispersivity,
            diffusion_cm2_s: diffusion,
            told_at_cm: None,
        }))
    })
}

fn crop() -> impl Strategy<Value = CropChoice> {
    let shipped = proptest::sample::select(Library::shipped().crops.into_iter().map(|c| c.name).collect::<Vec<_>>());
    // A rise needs to begin somewhere: at an EC of its own, or at the guide.
    let own_bend = (0.0..=0.5, option::of(0.0..4.0), (0.0..8.0).prop_map(Some));
    let at_guide = (0.0..=0.5, (0.0..4.0).prop_map(Some)).prop_map(|(rise, guide)| (rise, guide, None));
    let rise = prop_oneof![Just((0.0, None, None)), own_bend, at_guide];
    let uptake = (0.0..4.0, rise);
    let own = (uptake, -80.0..-1.0, -900.0..-81.0, 0.0..=1.0, 0.05..=1.0, option::of((0.0..5.0, 0.0..50.0))).prop_map(
        |((uptake_ec, (uptake_rise, guide_root_zone_ec, uptake_rises_above)), begins_cm, stops_cm, air_floor, compensation, salt)| {
            let salt = salt.map(|(threshold_ece, slope_percent)| SaltStress { threshold_ece, slope_percent });
            CropChoice::Custom(Box::new(Crop {
                name: "random".to_owned(),
                source: String::new(),
                uptake_ec,
                uptake_rise,
                uptake_rises_above,
                stress: Stress { begins_cm, stops_cm, air_floor, compensation, salt, ..Stress::default() },
                guide_feed_ec: None,
                guide_root_zone_ec,
                canopy: None,
                stages: Vec::new(),
            }))
        },
    );
    prop_oneof![shipped.prop_map(CropChoice::Preset), own]
}

/// Roots before the container is known.
#[derive(Clone, Debug)]
enum RootsSeed {
    Uniform,
    Tapering(f64),
    ByHeight(f64, f64),
    PerLayer(Vec<f64>),
}

impl RootsSeed {
    fn on(self, container: &Container, layers: usize) -> Roots {
        match self {
            Self::Uniform => Roots::Uniform,
            Self::Tapering(halves_every_cm) => Roots::Tapering { halves_every_cm },
            Self::ByHeight(low, high) => Roots::ByHeight(vec![(0.0, low), (0.6 * container.height_cm(), high)]),
            Self::PerLayer(seed) => {
                let mut values: Vec<f64> = (0..layers).map(|i| seed[i % seed.len()]).collect();
                values[0] = 0.5;
                Roots::PerLayer(values)
            }
        }
    }
}

fn roots() -> impl Strategy<Value = RootsSeed> {
    prop_oneof![
        Just(RootsSeed::Uniform),
        (0.5..50.0).prop_map(RootsSeed::Tapering),
        (0.0..1.0, 0.1..1.0).prop_map(|(low, high)| RootsSeed::ByHeight(low, high)),
        vec(prop_oneof![Just(0.0), 0.1..1.0], 3..9).prop_map(RootsSeed::PerLayer),
    ]
}

/// Water at the start before the media are known: shares between residual and full.
#[derive(Clone, Debug)]
enum WaterSeed {
    Plain(StartWater),
    Mean(f64),
    Layers(Vec<f64>),
}

impl WaterSeed {
    fn on(self, container: &Container, counts: &[usize]) -> StartWater {
        let library = Library::shipped();
        let media: Vec<Medium> = container.parts.iter().map(|p| resolve::medium(&p.medium, &library).unwrap()).collect();
        let between = |m: &Medium, x: f64| m.curve.theta_r() + 2e-4 + x * (m.curve.theta_s() - m.curve.theta_r() - 2e-4);
        match self {
            Self::Plain(water) => water,
            Self::Mean(x) => {
                let whole = container.volume_per_plant_ml();
                let mean = |value: fn(&Curve) -> f64| {
                    media.iter().zip(&container.parts).map(|(m, p)| value(&m.curve) * p.volume_per_plant_ml()).sum::<f64>() / whole
                };
                let (low, high) = (mean(Curve::theta_r) + 0.0101, mean(Curve::theta_s));
                StartWater::Mean(low + x * (high - low))
            }
            Self::Layers(seed) => {
                let of_layer = media.iter().zip(counts).flat_map(|(m, &n)| std::iter::repeat_n(m, n));
                StartWater::Layers(of_layer.enumerate().map(|(i, m)| between(m, seed[i % seed.len()])).collect())
            }
        }
    }
}

fn start_water() -> impl Strategy<Value = WaterSeed> {
    prop_oneof![
        Just(WaterSeed::Plain(StartWater::AsWetted)),
        Just(WaterSeed::Plain(StartWater::AtCapacity)),
        (-400.0..10.0).prop_map(|h| WaterSeed::Plain(StartWater::Head(h))),
        (0.02..0.999).prop_map(WaterSeed::Mean),
        vec(0.01..1.0, 2..9).prop_map(WaterSeed::Layers),
    ]
}

/// Salt at the start before the layers are known.
#[derive(Clone, Debug)]
enum SaltSeed {
    Plain(StartSalt),
    Layers(Vec<f64>),
}

impl SaltSeed {
    fn on(self, layers: usize) -> StartSalt {
        match self {
            Self::Plain(salt) => salt,
            Self::Layers(seed) => StartSalt::Layers((0..layers).map(|i| seed[i % seed.len()]).collect()),
        }
    }
}

fn start_salt() -> impl Strategy<Value = SaltSeed> {
    prop_oneof![
        Just(SaltSeed::Plain(StartSalt::Feed)),
        Just(SaltSeed::Plain(StartSalt::Ec(0.0))),
        (0.1..15.0).prop_map(|ec| SaltSeed::Plain(StartSalt::Ec(ec))),
        vec(prop_oneof![Just(0.0), 0.0..15.0], 2..9).prop_map(SaltSeed::Layers),
    ]
}
