//! The standard normal distribution, with the same bits on every machine.

use crate::elementary::{erfc, ln};

/// Chance that a standard normal score is below `z`.
pub(crate) fn normal_chance(z: f64) -> f64 {
    0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Score that a standard normal one falls below with chance `p`, strictly between 0 and 1. Relative error about 1e-16.
///
/// # Source
/// Wichura (1988), Algorithm AS 241, Appl. Stat. 37, 477–484, routine PPND16; coefficients quoted from memory, held
/// against published quantiles by a test.
pub(crate) fn normal_score(p: f64) -> f64 {
    let from_middle = p - 0.5;
    if from_middle.abs() <= 0.425 {
        let r = 0.180_625 - from_middle * from_middle;
        return from_middle * polynomial(&MIDDLE.0, r) / polynomial(&MIDDLE.1, r);
    }
    let tail = if from_middle < 0.0 { p } else { 1.0 - p };
    let r = (-ln(tail)).sqrt();
    let distance = if r <= 5.0 {
        polynomial(&TAIL.0, r - 1.6) / polynomial(&TAIL.1, r - 1.6)
    } else {
        polynomial(&FAR_TAIL.0, r - 5.0) / polynomial(&FAR_TAIL.1, r - 5.0)
    };
    distance.copysign(from_middle)
}

/// Coefficients by rising power.
fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// Numerator and denominator of a branch of AS 241.
type Branch = ([f64; 8], [f64; 8]);

const MIDDLE: Branch = (
    [
        3.387_132_872_796_366_5,
        1.331_416_678_917_843_8e2,
        1.971_590_950_306_551_3e3,
        1.373_169_376_550_946e4,
        4.592_195_393_154_987e4,
        6.726_577_092_700_87e4,
        3.343_057_558_358_813e4,
        2.509_080_928_730_122_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091e1,
        6.871_870_074_920_579e2,
        5.394_196_021_424_751e3,
        2.121_379_430_158_659_7e4,
        3.930_789_580_009_271e4,
        2.872_908_573_572_194_3e4,
        5.226_495_278_852_854e3,
    ],
);
const TAIL: Branch = (
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
);
const FAR_TAIL: Branch = (
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
);

#[cfg(test)]
mod tests {
    use super::{normal_chance, normal_score};

    #[test]
    fn quantiles_are_the_published_ones() {
        // Published: Wichura (1988), check values of PPND16, and the two-sided 95 % point of every table; each row
        // again from mpmath 1.3 with 30 digits.
        for (p, z) in [
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_813_5),
            (1e-20, -9.262_340_089_798_409),
            (0.975, 1.959_963_984_540_054),
            (0.5, 0.0),
        ] {
            assert!((normal_score(p) - z).abs() <= 4e-16 * z.abs(), "{p}");
        }
    }

    #[test]
    fn score_and_chance_undo_each_other() {
        for i in 1..2000 {
            let p = f64::from(i) / 2000.0;
            assert!((normal_chance(normal_score(p)) - p).abs() < 3e-16, "{p}");
        }
    }
}
