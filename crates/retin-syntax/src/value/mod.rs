//! Values as the trade writes them: quantities, tolerances, sizes, money and dates.
