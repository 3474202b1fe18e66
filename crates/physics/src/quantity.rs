//! Typed physical quantities: SI inside, the trade's units at the edge.
//!
//! Each type names the quantity, not the unit. A value is made by a constructor that names its unit and read
//! by a getter that names one, so a swapped argument does not compile. A formula unwraps to SI `f64` once, at its
//! top, under the paper's symbols. Conversion factors: NIST Special Publication 811 (2008), appendix B.

/// Absolute zero on the Celsius scale [°C] (exact by definition of the scale).
const ZERO_CELSIUS_K: f64 = 273.15;

macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $name:ident { $( $from:ident, $to:ident, $factor:expr, $unit:literal; )+ }
    ) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("Makes the quantity from a number of ", $unit, ".")]
                pub const fn $from(value: f64) -> Self {
                    Self(value * $factor)
                }

                #[doc = concat!("The quantity as a number of ", $unit, ".")]
                pub const fn $to(self) -> f64 {
                    self.0 / $factor
                }
            )+

            /// True if the value is a finite number.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }
    };
}

quantity! {
    /// A length: gaps, film thicknesses, widths, paths.
    Length {
        from_m, m, 1.0, "metres";
        from_mm, mm, 1e-3, "millimetres";
        from_um, um, 1e-6, "micrometres";
        from_nm, nm, 1e-9, "nanometres";
    }
}
quantity! {
    /// A speed of the web or of a liquid front.
    Speed {
        from_m_per_s, m_per_s, 1.0, "metres per second";
        from_m_per_min, m_per_min, 1.0 / 60.0, "metres per minute";
        from_mm_per_s, mm_per_s, 1e-3, "millimetres per second";
    }
}
quantity! {
    /// A volume flow of the pump or of a gas.
    VolumeFlow {
        from_m3_per_s, m3_per_s, 1.0, "cubic metres per second";
        from_ml_per_min, ml_per_min, 1e-6 / 60.0, "millilitres per minute";
        from_m3_per_h, m3_per_h, 1.0 / 3600.0, "cubic metres per hour";
    }
}
quantity! {
    /// A volume.
    Volume {
        from_m3, m3, 1.0, "cubic metres";
        from_ml, ml, 1e-6, "millilitres";
        from_l, l, 1e-3, "litres";
    }
}
quantity! {
    /// A dynamic viscosity.
    Viscosity {
        from_pa_s, pa_s, 1.0, "pascal seconds";
        from_mpa_s, mpa_s, 1e-3, "millipascal seconds";
    }
}
quantity! {
    /// Volume of the cells of an engraved roll per area of its surface.
    CellVolume {
        from_m3_per_m2, m3_per_m2, 1.0, "cubic metres per square metre";
        from_cm3_per_m2, cm3_per_m2, 1e-6, "cubic centimetres per square metre";
        from_bcm_per_in2, bcm_per_in2, 1e-9 / (0.0254 * 0.0254), "billions of cubic micrometres per square inch";
    }
}
quantity! {
    /// Lines of a screen or an engraving per length.
    LineCount {
        from_per_m, per_m, 1.0, "lines per metre";
        from_per_cm, per_cm, 1e2, "lines per centimetre";
        from_per_inch, per_inch, 1.0 / 0.0254, "lines per inch";
    }
}
quantity! {
    /// A shear rate.
    ShearRate {
        from_per_s, per_s, 1.0, "reciprocal seconds";
    }
}
quantity! {
    /// A molar energy: the activation energy of a viscosity.
    MolarEnergy {
        from_j_per_mol, j_per_mol, 1.0, "joules per mole";
        from_kj_per_mol, kj_per_mol, 1e3, "kilojoules per mole";
    }
}
quantity! {
    /// A surface tension of a liquid or the surface energy of a foil.
    SurfaceTension {
        from_n_per_m, n_per_m, 1.0, "newtons per metre";
        from_mn_per_m, mn_per_m, 1e-3, "millinewtons per metre";
    }
}
quantity! {
    /// A mass density.
    Density {
        from_kg_per_m3, kg_per_m3, 1.0, "kilograms per cubic metre";
        from_g_per_cm3, g_per_cm3, 1e3, "grams per cubic centimetre";
    }
}
quantity! {
    /// A temperature difference; never an absolute temperature.
    TemperatureDifference {
        from_k, k, 1.0, "kelvins";
    }
}
quantity! {
    /// A pressure or a pressure difference.
    Pressure {
        from_pa, pa, 1.0, "pascals";
        from_kpa, kpa, 1e3, "kilopascals";
        from_mbar, mbar, 1e2, "millibars";
    }
}
quantity! {
    /// A force: on a plunger.
    Force {
        from_n, n, 1.0, "newtons";
    }
}
quantity! {
    /// Tension of a web per width.
    WebTension {
        from_n_per_m, n_per_m, 1.0, "newtons per metre";
        from_n_per_mm, n_per_mm, 1e3, "newtons per millimetre";
        from_lbf_per_in, lbf_per_in, 4.448_221_615_260_5 / 0.0254, "pounds-force per inch";
    }
}
quantity! {
    /// How fast a roller turns.
    Rotation {
        from_per_s, per_s, 1.0, "revolutions per second";
        from_per_min, per_min, 1.0 / 60.0, "revolutions per minute";
    }
}
quantity! {
    /// Volume that a line gives way by, per pressure: trapped air, soft hoses, rubber plungers.
    Compliance {
        from_m3_per_pa, m3_per_pa, 1.0, "cubic metres per pascal";
        from_ml_per_bar, ml_per_bar, 1e-11, "millilitres per bar";
    }
}
quantity! {
    /// Thermal expansion of a solid.
    Expansion {
        from_per_k, per_k, 1.0, "parts in one and kelvin";
        from_um_per_m_k, um_per_m_k, 1e-6, "micrometres per metre and kelvin";
    }
}
quantity! {
    /// An energy: of a spark.
    Energy {
        from_j, j, 1.0, "joules";
        from_mj, mj, 1e-3, "millijoules";
    }
}
quantity! {
    /// The capacitance of a charged body.
    Capacitance {
        from_f, f, 1.0, "farads";
        from_pf, pf, 1e-12, "picofarads";
    }
}
quantity! {
    /// A voltage.
    Voltage {
        from_v, v, 1.0, "volts";
        from_kv, kv, 1e3, "kilovolts";
    }
}
quantity! {
    /// A power.
    Power {
        from_w, w, 1.0, "watts";
    }
}
quantity! {
    /// Energy per treated area laid down by a plasma.
    PlasmaDose {
        from_j_per_m2, j_per_m2, 1.0, "joules per square metre";
        from_w_min_per_m2, w_min_per_m2, 60.0, "watt minutes per square metre";
    }
}
quantity! {
    /// Radiant power per area of the web: infrared and ultraviolet lamps.
    Irradiance {
        from_w_per_m2, w_per_m2, 1.0, "watts per square metre";
        from_kw_per_m2, kw_per_m2, 1e3, "kilowatts per square metre";
        from_mw_per_cm2, mw_per_cm2, 10.0, "milliwatts per square centimetre";
    }
}
quantity! {
    /// Radiant energy per area of the web, laid down by a lamp.
    ExposureDose {
        from_j_per_m2, j_per_m2, 1.0, "joules per square metre";
        from_mj_per_cm2, mj_per_cm2, 10.0, "millijoules per square centimetre";
        from_j_per_cm2, j_per_cm2, 1e4, "joules per square centimetre";
    }
}
quantity! {
    /// A diffusivity in a film.
    Diffusivity {
        from_m2_per_s, m2_per_s, 1.0, "square metres per second";
        from_cm2_per_s, cm2_per_s, 1e-4, "square centimetres per second";
    }
}
quantity! {
    /// A plane angle: contact angles, lip corners.
    Angle {
        from_rad, rad, 1.0, "radians";
        from_deg, deg, std::f64::consts::PI / 180.0, "degrees";
    }
}
quantity! {
    /// A heat-transfer coefficient.
    HeatTransferCoefficient {
        from_w_per_m2_k, w_per_m2_k, 1.0, "watts per square metre and kelvin";
    }
}
quantity! {
    /// A duration.
    Duration {
        from_s, s, 1.0, "seconds";
        from_min, min, 60.0, "minutes";
        from_h, h, 3600.0, "hours";
    }
}
quantity! {
    /// A share of a whole: mass fractions of solids, relative humidity, allowed shrinkage.
    Fraction {
        from_ratio, ratio, 1.0, "parts in one";
        from_percent, percent, 1e-2, "per cent";
    }
}
quantity! {
    /// A mass per area: dry coat weight, foil mass.
    AreaMass {
        from_kg_per_m2, kg_per_m2, 1.0, "kilograms per square metre";
        from_g_per_m2, g_per_m2, 1e-3, "grams per square metre";
        from_mg_per_cm2, mg_per_cm2, 1e-2, "milligrams per square centimetre";
    }
}

/// An absolute temperature. Two of them subtract to a [`TemperatureDifference`]; their sum means nothing.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// Makes a temperature from kelvins.
    pub const fn from_k(value: f64) -> Self {
        Self(value)
    }

    /// Makes a temperature from degrees Celsius.
    pub const fn from_deg_c(value: f64) -> Self {
        Self(value + ZERO_CELSIUS_K)
    }

    /// The temperature in kelvins.
    pub const fn k(self) -> f64 {
        self.0
    }

    /// The temperature in degrees Celsius.
    pub const fn deg_c(self) -> f64 {
        self.0 - ZERO_CELSIUS_K
    }

    /// True if the value is a finite number.
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl std::ops::Sub for Temperature {
    type Output = TemperatureDifference;

    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl std::ops::Add<TemperatureDifference> for Temperature {
    type Output = Self;

    fn add(self, difference: TemperatureDifference) -> Self {
        Self(self.0 + difference.0)
    }
}
