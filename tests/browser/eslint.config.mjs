// What our oldest browsers know, by caniuse and MDN: words of the language by its year, functions by name.
import compat from "eslint-plugin-compat";

export default [
  {
    ...compat.configs["flat/recommended"],
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: 2019, sourceType: "script" },
    settings: { browsers: ["chrome 88", "firefox 78"], lintAllEsApis: true },
  },
];
