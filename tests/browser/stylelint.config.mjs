// What our oldest browsers know, by caniuse. Fonts named first have others after them.
export default {
  plugins: ["stylelint-no-unsupported-browser-features"],
  rules: {
    "plugin/no-unsupported-browser-features": [
      true,
      {
        browsers: ["chrome 88", "firefox 78"],
        ignore: ["extended-system-fonts"],
        ignorePartialSupport: true,
      },
    ],
  },
};
